"""Where the stops of a dial cord lie as one sees them, and the way of a taut cord round them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

_ACROSS = {"left": 0.0, "right": 1.0, "centre": 0.5, "center": 0.5, "middle": 0.5}
_DOWN = {"top": 0.0, "upper": 0.0, "above": 0.0, "bottom": 1.0, "lower": 1.0, "below": 1.0}
_WORD = re.compile(rf"(?<!\w)(?:{'|'.join((*_ACROSS, *_DOWN))})(?!\w)", re.I)
_APART = 0.16
"""By which a stop is moved that would lie on another."""
_LEAST_GAP = 1.0


@dataclass(frozen=True, slots=True)
class Node:
    """A stop in the drawing: its middle and its radius, 0 for what the cord is only fastened to or carries.

    ``left`` says that the cord turns to the left around it, going from the first stop to the last.
    """

    x: float
    y: float
    radius: float
    left: bool = False

    def lies_with(self, other: Node) -> bool:
        """Whether two stops have one middle: what is fastened inside a drum, and the drum."""
        return math.hypot(self.x - other.x, self.y - other.y) < _LEAST_GAP


def place_said(said: str) -> tuple[float, float] | None:
    """Where a stop lies by its words, ``upper left``, across and down from 0 to 1; None where none says it."""
    words = [word.casefold() for word in _WORD.findall(said)]
    if not words:
        return None
    across = next((_ACROSS[word] for word in words if word in _ACROSS), 0.5)
    return across, next((_DOWN[word] for word in words if word in _DOWN), 0.5)


def laid_out(stops: Sequence[tuple[str, str]]) -> list[tuple[float, float]]:
    """The place of each stop, its kind and its words given; none where fewer than two of them say where they lie.

    What is fastened inside a drum, a spring or an anchor next to it, lies in its middle; what else says no place lies
    on the way from the one before to the one behind.
    """
    places = [place_said(said) for _, said in stops]
    if sum(place is not None for place in places) < 2:
        return []
    for number, (kind, _) in enumerate(stops):
        beside = [n for n in (number - 1, number + 1) if 0 <= n < len(stops) and stops[n][0] == "drum"]
        if kind in ("spring", "anchor") and places[number] is None and beside:
            places[number] = places[beside[0]]
    known = [number for number, place in enumerate(places) if place is not None]
    return _parted([_between(places, known, number) for number in range(len(places))], stops)


def _between(places: Sequence[tuple[float, float] | None], known: Sequence[int], number: int) -> tuple[float, float]:
    place = places[number]
    if place is not None:
        return place
    before = max((n for n in known if n < number), default=known[0])
    behind = min((n for n in known if n > number), default=known[-1])
    (x1, y1), (x2, y2) = places[before] or (0.0, 0.0), places[behind] or (0.0, 0.0)
    share = (number - before) / (behind - before) if behind != before else 0.0
    return x1 + (x2 - x1) * share, y1 + (y2 - y1) * share


def _parted(places: list[tuple[float, float]], stops: Sequence[tuple[str, str]]) -> list[tuple[float, float]]:
    """The places with wheels that lie on another moved aside; a drum that is passed twice, and what is in it, stay."""
    taken: list[tuple[str, float, float]] = []
    for number, (x, y) in enumerate(places):
        kind = stops[number][0]
        if kind in ("spring", "anchor"):
            continue
        while any(math.hypot(x - tx, y - ty) < _APART / 2 and not kind == of == "drum" for of, tx, ty in taken):
            x, y = (x + _APART, y) if x < 0.5 else (x - _APART, y + _APART / 2)
        places[number] = (x, y)
        taken.append((kind, x, y))
    return places


def taut(nodes: Sequence[Node]) -> list[Node]:
    """The stops as a taut cord passes them: each wheel on the outer side of the bend there, the rest on the cord."""
    on_wheels = [number for number, node in enumerate(nodes) if node.radius or number in (0, len(nodes) - 1)]
    found = list(nodes)
    bends = [_bend(*(nodes[on_wheels[n]] for n in _around(at, on_wheels))) for at in range(len(on_wheels))]
    for at, number in enumerate(on_wheels):
        # Where a cord ends inside a wheel it goes the way that the nearest bend goes.
        near = sorted((abs(at - other), other) for other, bend in enumerate(bends) if bend)
        found[number] = replace(nodes[number], left=bool(near) and bends[near[0][1]] < 0)
    for first, last in pairwise(on_wheels):
        (x1, y1), (x2, y2) = _tangent(found[first], found[last])
        for number in range(first + 1, last):
            share = (number - first) / (last - first)
            found[number] = replace(nodes[number], x=x1 + (x2 - x1) * share, y=y1 + (y2 - y1) * share)
    return found


def _around(at: int, of: Sequence[int]) -> tuple[int, int, int]:
    return max(at - 1, 0), at, min(at + 1, len(of) - 1)


def _bend(before: Node, node: Node, behind: Node) -> float:
    """Above 0 where the way turns to the right (the vector product, with the vertical axis down)."""
    return (node.x - before.x) * (behind.y - node.y) - (node.y - before.y) * (behind.x - node.x)


def cord_path(nodes: Sequence[Node]) -> str:
    """The cord as the data of an SVG path: straight from wheel to wheel, and round each of them on its side."""
    drawn = ""
    came: tuple[float, float] | None = None
    for node, behind in pairwise(nodes):
        start, end = _tangent(node, behind)
        if not drawn:
            drawn = f"M{start[0]:.1f} {start[1]:.1f}"
        elif came and node.radius and not node.lies_with(behind):
            drawn += _arc(node, came, start)
        else:
            drawn += f"L{start[0]:.1f} {start[1]:.1f}"
        if node.lies_with(behind):
            came = None
            continue
        drawn += f"L{end[0]:.1f} {end[1]:.1f}"
        came = end
    return f"{drawn}L{nodes[-1].x:.1f} {nodes[-1].y:.1f}" if came is None and nodes else drawn


def _tangent(one: Node, other: Node) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where the straight piece leaves the one and meets the other (the common tangent of two circles)."""
    if one.lies_with(other):
        return (one.x, one.y), (other.x, other.y)
    dx, dy = other.x - one.x, other.y - one.y
    apart = max(math.hypot(dx, dy), _LEAST_GAP)
    ux, uy = dx / apart, dy / apart
    first, last = (node.radius if node.left else -node.radius for node in (one, other))
    along = max(-1.0, min(1.0, (first - last) / apart))
    aside = math.sqrt(1.0 - along**2)
    nx, ny = ux * along - uy * aside, uy * along + ux * aside
    return (one.x + first * nx, one.y + first * ny), (other.x + last * nx, other.y + last * ny)


def _arc(node: Node, start: tuple[float, float], end: tuple[float, float]) -> str:
    """Round a wheel from one point of its rim to another, the way the cord turns."""
    from_angle, to_angle = (math.atan2(y - node.y, x - node.x) for x, y in (start, end))
    swept = (from_angle - to_angle if node.left else to_angle - from_angle) % (2 * math.pi)
    large, clockwise = int(swept > math.pi), int(not node.left)
    return f"A{node.radius:g} {node.radius:g} 0 {large} {clockwise} {end[0]:.1f} {end[1]:.1f}"
