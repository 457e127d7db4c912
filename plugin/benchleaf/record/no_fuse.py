"""What was put where a fuse belongs: foil, wire, a nail."""

from __future__ import annotations

import re

_NO_FUSE = re.compile(
    r"\bwas\s+(?P<said>(?:(?:a|bridged with|wrapped in)\s+)?(?:(?:tin|silver|cigarette)\s?)?"
    r"(?:foil|paper|nail|wire|bolt))(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What stood for a fuse and is none: ``was foil``."""


def without_fuse(said: str) -> str:
    """A fuse's line with what stood in its place as the note at its end."""
    if not (found := _NO_FUSE.search(said)):
        return said
    body, mark, remark = f"{said[: found.start()]}was none{said[found.end() :]}".partition(";")
    return f"{body}, note {found['said']}{mark}{remark}"
