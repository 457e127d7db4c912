"""Words of a circuit drawing that a line runs through."""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchleaf.drawing.labels import Label
from benchleaf.drawing.svg import parsed

_STEP = re.compile(r"([ML])\s*(-?[\d.]+)[ ,]+(-?[\d.]+)")
_INNER = 0.8
"""Share of a label's estimated box that no line may enter: the estimate is wide, and a line may pass close by."""

Stroke = tuple[float, float, float, float]
Box = tuple[float, float, float, float]


def crossed_labels(svg: str) -> list[str]:
    """Words in a cleaned circuit drawing that a straight line runs through, by estimate, in the drawing's order.

    Plots are not for this: a grid runs through everything.
    """
    root = parsed(svg)
    strokes = [stroke for path in root.iter("path") for stroke in _strokes(path.get("d", ""))]
    found = []
    for element in root.iter("text"):
        words = "".join(element.itertext()).strip()
        box = _inner(Label.of(words, element.attrib))
        if words and any(_enters(stroke, box) for stroke in strokes):
            found.append(words)
    return found


def _strokes(path: str) -> Iterator[Stroke]:
    x = y = 0.0
    for letter, right, down in _STEP.findall(path):
        if letter == "L":
            yield x, y, float(right), float(down)
        x, y = float(right), float(down)


def _inner(label: Label) -> Box:
    left, top, right, bottom = label.extent()
    x, y = (left + right) / 2, (top + bottom) / 2
    wide, high = (right - left) / 2 * _INNER, (bottom - top) / 2 * _INNER
    return x - wide, y - high, x + wide, y + high


def _enters(stroke: Stroke, box: Box) -> bool:
    """Whether any of a stroke lies in a box: the stroke is cut at the box's four sides in turn (Liang and Barsky)."""
    x, y, to_x, to_y = stroke
    left, top, right, bottom = box
    enter, leave = 0.0, 1.0
    for start, way, low, high in ((x, to_x - x, left, right), (y, to_y - y, top, bottom)):
        if way == 0:
            if not low < start < high:
                return False
            continue
        first, last = sorted(((low - start) / way, (high - start) / way))
        enter, leave = max(enter, first), min(leave, last)
    return enter < leave
