"""Records with mistakes and what must be told of each: from ``record/messages.txt``, and some that no text can show.

A list of words that belongs to a chapter may be cut in that file: ``“resistor”, […] or``. A new word of the trade is no
other message. Run as a program this writes what is told now into the file. Read the difference before you keep it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from benchleaf.build.follow import look_over
from benchleaf.record.problems import Problem

SET = "larkfield-minuet-5"
NEIGHBOUR = "larkfield-minuet-4"
LINKED = "larkfield-minuet-3"
_WRITTEN_OUT = Path(__file__).parent / "record" / "messages.txt"
_HEAD = b"maker: A\nmodel: B\n"
_RAILS = b"".join(b"    B+%d: 110\n" % n for n in range(1, 101))


@dataclass(frozen=True)
class BadRecord:
    """A record's bytes and the lines that must be told of it."""

    name: str
    data: bytes
    told: tuple[str, ...]


def written_out() -> list[BadRecord]:
    """The cases of ``messages.txt``: a title after ``###``, the record, a line of ``=``, the lines told."""
    text = _WRITTEN_OUT.read_text(encoding="utf-8")
    cases = []
    for block in re.split(r"^### ", text, flags=re.M)[1:]:
        name, _, rest = block.partition("\n")
        record, _, told = rest.partition("\n=====\n")
        cases.append(BadRecord(name, f"{record}\n".encode(), tuple(told.strip().split("\n"))))
    return cases


SPECIAL = [
    BadRecord(
        "an old encoding",
        b"maker: caf\xe9\nmodel: B\nyeer: 1949\n",
        (
            "record.yml:1:11: found the byte 0xe9, a “é” in an old encoding; expected text in UTF-8; "
            "save the file again with the encoding UTF-8",
            "record.yml:3:1: yeer: found the unknown name “yeer”; expected a name that belongs here; "
            "did you mean “year”?",
        ),
    ),
    BadRecord(
        "UTF-16",
        "maker: A\nmodel: B\n".encode("utf-16"),
        ("record.yml:1:1: found text in UTF-16; expected text in UTF-8; save the file again with the encoding UTF-8",),
    ),
    BadRecord(
        "UTF-16 without its mark",
        "maker: A\nmodel: B\n".encode("utf-16-be"),
        (
            "record.yml:1:1: found a file that is no plain text; expected text in UTF-8; "
            "save the file again with the encoding UTF-8",
        ),
    ),
    BadRecord(
        "control characters",
        _HEAD + b"note: a\x07b\ncabinet: \x00x\n",
        (
            "record.yml:3:8: found the control character U+0007; expected plain text; delete it",
            "record.yml:4:10: found the control character U+0000; expected plain text; delete it",
        ),
    ),
    BadRecord(
        "a line end of another script",
        _HEAD + "note: a\u2028b\n".encode(),
        ("record.yml:3:8: found the control character U+2028; expected plain text; delete it",),
    ),
    BadRecord(
        "signs that turn text about, as they come along with a path that was copied",
        _HEAD + "note: a\u202eb\u2069\nphotos:\n  dial: \u202aa.jpg\n".encode(),
        (
            "record.yml:3:8: found the control character U+202E; expected plain text; delete it",
            "record.yml:5:9: found the control character U+202A; expected plain text; delete it",
        ),
    ),
    BadRecord(
        "a file too long",
        _HEAD + b"#" * 1_000_000,
        (
            "record.yml:1:1: found a file of more than 1,000,000 bytes; expected at most 1,000,000; "
            "move long text into story.md",
        ),
    ),
    BadRecord(
        "a text too long",
        _HEAD + b"note: " + b"x" * 20_001 + b"\n",
        ("record.yml:3:7: note: found a text of 20,001 characters; expected at most 20,000; move it into story.md",),
    ),
    BadRecord(
        "too many entries",
        _HEAD + b"papers:\n" + b"".join(b"  p%d: 1\n" % n for n in range(10_000)),
        (
            "record.yml:10000:10: papers.p9996: found more than 20,000 entries; expected at most 20,000; "
            "move readings into readings.csv, or divide the record",
        ),
    ),
    BadRecord(
        "too many of a kind",
        _HEAD + b"papers:\n" + b"".join(b"  p%d: 1\n" % n for n in range(51)),
        (
            "record.yml:54:3: papers: found more than 50 entries under “papers”; expected at most 50; "
            "leave out what tells nothing new, or divide the record",
        ),
    ),
    BadRecord(
        "too many values in all lists",
        _HEAD + b"readings:\n" + b"".join(b"  list %d:\n%s" % (n, _RAILS) for n in range(9)),
        (
            "record.yml:812:3: readings.list 8: found more than 800 values read in all lists together; "
            "expected at most 800; leave out a list that tells nothing new",
        ),
    ),
    BadRecord(
        "too many words",
        _HEAD + b"papers:\n  a: " + b"x " * 9_999 + b"\n  b: " + b"x " * 9_999 + b"\n",
        (
            "record.yml:5:6: papers.b: found more than 20,000 words in all; expected at most 20,000; "
            "move long text into story.md",
        ),
    ),
]

ALL = [*written_out(), *SPECIAL]


def make_sets(folder: Path) -> Path:
    """Two sets side by side, as the cases speak of them, and one whose record is a link to somewhere else.

    Returns the one the bad records belong to.
    """
    for name in (SET, NEIGHBOUR):
        (folder / name / "photos").mkdir(parents=True)
        (folder / name / "record.yml").write_bytes(_HEAD)
    (folder / LINKED).mkdir()
    (folder / LINKED / "record.yml").symlink_to(folder.parent / "elsewhere.yml")
    here = folder / SET
    (here / "photos" / "dial.jpg").write_bytes(b"\xff\xd8\xff demo")
    (here / "readings.csv").write_text("tube,electrode,volts\nV1,plate,90\n", encoding="utf-8")
    return here


def problems_of(data: bytes, folder: Path) -> list[Problem]:
    """Everything that is told of a record: what cannot be read, and what its names do not lead to."""
    return list(look_over(data, folder, "record.yml").problems)


def as_expected(told: list[str], expected: tuple[str, ...]) -> list[str]:
    """What is told, each line in the expected spelling where it differs only in a list that is cut there."""
    cut = {f"^{re.escape(line).replace(re.escape('[…]'), '.+')}$": line for line in expected if "[…]" in line}
    return [next((line for pattern, line in cut.items() if re.match(pattern, said)), said) for said in told]


def write_out(folder: Path) -> None:
    """``messages.txt`` with what is told of its records now."""
    blocks = []
    for case in written_out():
        told = "\n".join(as_expected([str(p) for p in problems_of(case.data, folder)], case.told))
        blocks.append(f"### {case.name}\n{case.data.decode()}=====\n{told}\n")
    _WRITTEN_OUT.write_text("\n".join(blocks), encoding="utf-8")


if __name__ == "__main__":
    with TemporaryDirectory() as scratch:
        write_out(make_sets(Path(scratch)))
