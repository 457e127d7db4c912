"""What the chapters find of small sets and the demo's, and say of them, counted: what is found otherwise is seen.

    python tests/held_small_sets.py --write

writes the table anew after a change that was meant to move something; which chapters of which sets it moved is then
seen in the difference, and the commit says why. Wording is not in it: only how many things are said, and how badly.
The sets stand in `small_sets.txt`, most of them as other tests have them; a further one is one more block.
"""

from __future__ import annotations

import csv
import dataclasses
import math
import re
import sys
import zlib
from collections.abc import Iterator, Mapping
from enum import Enum
from functools import cache
from typing import Any

import makers
from benchleaf.chapters.examine import digest, said
from benchleaf.chapters.order import CHAPTERS
from benchleaf.record.mapping import as_mapping
from held_drawings import examined_of
from held_figures import SETS as DEMO
from sites import REPO

HELD = REPO / "tests" / "facts" / "held_small_sets.csv"
_BLOCKS = re.split(r"^### (.+)\n", (REPO / "tests" / "small_sets.txt").read_text(encoding="utf-8"), flags=re.M)
SETS = dict(zip(_BLOCKS[1::2], _BLOCKS[2::2], strict=True))
"""The records of small sets by where they come from."""
NAMES = (*SETS, *DEMO)
_LEAST = 1e-14
"""Below it, in SI, stands only what floats leave of nothing."""


def found_of(name: str) -> dict[str, str]:
    """What each chapter finds of a set, says of it, and says in short."""
    made = makers.examined(makers.record(SETS[name])) if name in SETS else examined_of(name)
    told = {"as written": _counted([*_leaves(as_mapping(made.record))], of_few=True)}
    for chapter in CHAPTERS:
        findings = made.findings[chapter.folder]
        if findings is not None:
            parts = {"found": findings, "stands out": made.standouts_of(chapter), "said": said(made, chapter)}
            parts["in short"] = digest(made, chapter)
            told[chapter.folder] = "; ".join(
                f"{part}: {_counted([*_leaves(of)], of_few=part == 'found')}" for part, of in parts.items() if of
            )
    return told


@cache
def held() -> Mapping[str, Mapping[str, str]]:
    """The table as it was written: by set and chapter."""
    rows: dict[str, dict[str, str]] = {name: {} for name in NAMES}
    with HELD.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            rows[row["set"]][row["chapter"]] = row["found"]
    return rows


def write() -> None:
    """Write the table."""
    with HELD.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["set", "chapter", "found"])
        writer.writerows([name, *row] for name in NAMES for row in found_of(name).items())


def _leaves(found: Any) -> Iterator[Any]:
    match found:
        case Mapping():
            for inner in found.values():
                yield from _leaves(inner)
        case list() | tuple() | frozenset():
            yield len(found)
            for inner in sorted(found) if isinstance(found, frozenset) else found:
                yield from _leaves(inner)
        case _ if dataclasses.is_dataclass(found):
            for field in dataclasses.fields(found):
                yield from _leaves(getattr(found, field.name))
        case _:
            yield found


def _counted(values: list[Any], *, of_few: bool) -> str:
    """``12 numbers (logarithms 34.5), 1 below zero, 3 true, words 3f21``.

    What is nothing (0, False, None, no text) is not counted: a further field that has nothing yet moves no row. The
    words are verdicts, and of findings others that are one of few, such as kinds of feed.
    """
    numbers = [float(v) for v in values if isinstance(v, int | float) and not isinstance(v, bool | Enum) and v]
    logs = sum(math.log10(abs(number)) for number in numbers if _LEAST < abs(number) < math.inf)
    words = [
        v for v in values if of_few and isinstance(v, str) and not isinstance(v, Enum) and v.islower() and v.isalpha()
    ]
    words += [value.name for value in values if isinstance(value, Enum)]
    below, truths = sum(number < 0 for number in numbers), sum(value is True for value in values)
    said = zlib.crc32(" ".join(sorted(words)).encode())
    return f"{len(numbers)} numbers (logarithms {logs:.3f}), {below} below zero, {truths} true, words {said:08x}"


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        raise SystemExit(__doc__)
    write()
