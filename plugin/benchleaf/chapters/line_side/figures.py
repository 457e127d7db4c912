"""The line side drawn before and after: the same node places, what was removed and what was added marked.

The cord comes in at the top, its hot lead runs down on the right and its return lead on the left; the set lies between
them, the chassis below. Upright, so that it can be read on a phone.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from ..bench import Bench
from .described_figure import description_of
from .diagram import Diagram, diagrams
from .findings import LineSideFindings
from .lying import draw_lying
from .path_figure import figure_of
from .standing import draw_line_side

if TYPE_CHECKING:
    from ...drawing import Figure
    from ...words import Words


NARROWEST = 0.75
"""How far a drawing shrinks before it scrolls inside itself: words are then 10 pixels high."""

MOST_LYING = 238
"""CSS pixels that a lying drawing is high at most, as two of them stand on the page to be read in two minutes."""

_FRAME = re.compile(r'class="([^"]*)" viewBox="[^"]*" width="[^"]*"')
_STEP = 50
"""Pixels from one class of least widths to the next: ``bl-least-6`` is at least 300 wide."""


def draw(findings: LineSideFindings, bench: Bench) -> tuple[Figure, ...]:
    """The drawings of the line side before and after, of what is written, and the way of the current at its worst."""
    before = findings.before.described if findings.before else None
    after = findings.after.described if findings.after else None
    found = diagrams(before, after, bench.words)
    alone = f"{bench.words.line.capitalize()} side as it is written" if len(found) == 1 else None
    figures = [
        _figure(
            f"line-side-{when}", alone or f"{bench.words.line.capitalize()} side {when} the work", diagram, bench.words
        )
        for when, diagram in found.items()
    ]
    now = after or before
    lying = [
        _lying(f"line-side-{when}-lying", f"{bench.words.line.capitalize()} side {when} the work", d, bench.words)
        for when, d in found.items()
    ]
    drawn = (*_in_one_frame(figures), *_in_one_frame(lying, standing=False))
    if findings.path is None or now is None:
        return drawn
    return (*drawn, *_in_one_frame([figure_of(findings.path, now, bench.words)]))


def _in_one_frame(figures: list[Figure], *, standing: bool = True) -> tuple[Figure, ...]:
    """The drawings cut to one frame, so that they stand at one scale and a place is the same place in both.

    A standing one keeps its words legible and scrolls. A lying one shrinks with the column it stands in, is no higher
    than ``MOST_LYING`` and ends where its own lines do: an empty strip stood between a lower one and its words.
    """
    from ...drawing.schematic import SCALE
    from ...drawing.svg import view_box

    boxes = [view_box(figure.svg) for figure in figures]
    if not boxes:
        return ()
    left, top = min(b[0] for b in boxes), min(b[1] for b in boxes)
    width, height = max(b[0] + b[2] for b in boxes) - left, max(b[1] + b[3] for b in boxes) - top
    scale = SCALE if standing else min(SCALE, MOST_LYING / height)
    widest = round(width * scale)
    least = f" bl-least-{round(widest * NARROWEST / _STEP)}" if standing else ""
    framed = []
    for figure, box in zip(figures, boxes, strict=True):
        high = height if standing else box[1] + box[3] - top
        frame = rf'class="\1{least}" viewBox="{left:g} {top:g} {width:g} {high:g}" width="{widest}"'
        svg = _FRAME.sub(frame, figure.svg, count=1)
        framed.append(replace(figure, svg=svg, width=widest, height=round(high * scale)))
    return tuple(framed)


def _lying(name: str, title: str, diagram: Diagram, words: Words) -> Figure:
    """In few letters: two of them stand on the page that is to be read in two minutes."""
    from ...drawing.schematic import sketch
    from ...drawing.svg import compacted

    sheet = sketch()
    draw_lying(sheet, diagram, words)
    figure = sheet.figure(name=name, title=title, description=description_of(diagram, words))
    return replace(figure, svg=compacted(figure.svg))


def _figure(name: str, title: str, diagram: Diagram, words: Words) -> Figure:
    from ...drawing.schematic import sketch

    sheet = sketch()
    draw_line_side(sheet, diagram, words)
    return sheet.figure(name=name, title=title, description=description_of(diagram, words))
