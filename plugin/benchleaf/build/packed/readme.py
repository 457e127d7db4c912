"""What stands in the file for those who open it without Benchleaf."""

from __future__ import annotations

from collections.abc import Mapping

_README = """{whose}
{line}

The record of a radio and of the work done to it, handed on as one file.

set/record.yml     the record, in the writer's own words
set/               its story, pictures and tables of readings
data/record.json   the record with all that follows from it, in SI units
data/parts.csv     its parts, for a spreadsheet
LICENCE.txt        what you may do with it, where that is stated

What the writer keeps private is not in here, and the pictures hold nothing but what they show.
To put it among your own sets, with Benchleaf (mkdocs-benchleaf):

    benchleaf unpack {name}.benchleaf.zip
"""


def readme_text(maker: str, model: str, name: str) -> bytes:
    """What the file is and how to take it in."""
    whose = _flat(f"{maker} {model}")
    return _README.format(whose=whose, line="=" * min(len(whose), 80), name=name).encode()


def licence_text(maker: str, model: str, by: str, licence: str, pictures: Mapping[str, str]) -> bytes:
    """What is stated of the licence of the set, and of pictures that have one of their own."""
    lines = [_flat(f"The record of the {maker} {model}{f', by {by}' if by else ''}:"), ""]
    lines += [f"  {_flat(licence)}" if licence else "  no licence is stated", ""]
    if pictures:
        lines += ["Pictures with a licence of their own:", ""]
        lines += [f"  {path}: {_flat(own)}" for path, own in sorted(pictures.items())] + [""]
    return "\n".join(lines).encode()


def _flat(text: str) -> str:
    return " ".join(text.split())
