"""How the figures of the demo's sets are drawn, added up kind by kind: a stroke or label that moves is seen.

    python tests/held_drawings.py --write

writes the table anew after a change that was meant to move something; which kinds of figures it moved is then seen in
the difference, and the commit says why.
"""

from __future__ import annotations

import re
import sys
from functools import cache

import held_tables
import makers
from benchleaf.chapters.examine import Examined, draw
from benchleaf.chapters.order import CHAPTERS
from benchleaf.drawing import Figure
from held_figures import SETS
from sites import REPO

HELD = REPO / "tests" / "facts" / "held_drawings.csv"
DRAWING = {chapter.folder: chapter for chapter in CHAPTERS}
_UNSEEN = re.compile(r' (?:id|class|role|xmlns|href|xlink:href|clip-path|aria-\w+|style|fill|stroke)="[^"]*"')
_TAG = re.compile(r"<[^>]*>")
_NUMBER = re.compile(r"-?\d*\.?\d+(?:e-?\d+)?")


@cache
def examined_of(name: str) -> Examined:
    """What all chapters find of a set of the demo."""
    return makers.examined(makers.record((REPO / "site_src" / "sets" / name / "record.yml").read_bytes()))


def drawings_of(name: str, folder: str) -> dict[str, str]:
    """The figures of one chapter on a set of the demo, by kind: how many, their numbers' sums, their letters."""
    kinds: dict[str, list[Figure]] = {}
    for figure in draw(examined_of(name), DRAWING[folder]):
        kinds.setdefault(_kind(figure.name), []).append(figure)
    return {f"{folder}.{kind}": _summed(figures) for kind, figures in sorted(kinds.items())}


def table() -> dict[str, dict[str, str]]:
    """Each kind of figure, with what each set has of it."""
    return held_tables.turned(
        {name: {k: v for folder in DRAWING for k, v in drawings_of(name, folder).items()} for name in SETS}
    )


@cache
def held() -> dict[str, dict[str, str]]:
    """The table as it was written."""
    return held_tables.read(HELD, "figures")


def _kind(name: str) -> str:
    """A figure's name without what the record gives: numbers, a part's or a band's name."""
    return re.sub(r"(?<=-part-)[^-]+(?:-[a-h](?=-|$))?|(?<=-error-)\w+|(?<=-)V?\d+", "*", name)


def _summed(figures: list[Figure]) -> str:
    """``2 of 812 × 634: 1402 numbers of 5.1e4, squared 8.3e6, 321 letters``, of all figures together."""
    drawn = "".join(figure.svg + figure.narrow for figure in figures)
    tags = " ".join(_UNSEEN.sub("", tag) for tag in _TAG.findall(drawn))
    numbers = [float(number) for number in _NUMBER.findall(tags)]
    width, height = sum(figure.width for figure in figures), sum(figure.height for figure in figures)
    squared = sum(number * number for number in numbers)
    letters = len("".join(_TAG.sub("", drawn).split())) + sum(len(figure.description) for figure in figures)
    sums = f"{len(numbers)} numbers of {sum(numbers):.6g}, squared {squared:.6g}, {letters} letters"
    return f"{len(figures)} of {width:.5g} × {height:.5g}: {sums}"


if __name__ == "__main__":
    if sys.argv[1:] != ["--write"]:
        raise SystemExit(__doc__)
    held_tables.write(HELD, "figures", SETS, table())
