"""The dial cord's route: as it lies where its stops say so, else as a row of them."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from .cord_path import Node, cord_path, laid_out, taut

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .examine import MechanicsFindings, Stop

ROUTE = "dial-cord"
_STEP, _MIDDLE, _HEIGHT = 62.0, 60.0, 120.0
_WIDE, _HIGH, _MARGIN = 300.0, 150.0, 48.0
"""Of the drawing in which stops lie as one sees them."""
_RADIUS = {"drum": 26.0, "pulley": 12.0, "shaft": 9.0}
_SMALL = 5.0


def draw(findings: MechanicsFindings, bench: Bench) -> tuple[Figure, ...]:
    """The route; nothing where no cord is written."""
    from ...drawing import Figure

    if not findings.stops:
        return ()
    nodes = _as_seen(findings.stops)
    width, height = (_WIDE + 2 * _MARGIN, _HIGH + 2 * _MARGIN) if nodes else (_STEP * len(findings.stops), _HEIGHT)
    nodes = nodes or _in_a_row(findings.stops)
    title = "Route of the dial cord"
    told = "; ".join(f"{number} {stop.said}" for number, stop in enumerate(findings.stops, 1))
    drawn = "".join(_shape(node, stop) for node, stop in zip(nodes, findings.stops, strict=True))
    words = "".join(_words(number, nodes, findings.stops) for number in range(len(nodes)))
    svg = (
        f'<svg class="benchleaf-drawing bl-fine" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" '
        f'width="{width:g}" height="{height:g}" role="img" aria-labelledby="{ROUTE}-t {ROUTE}-d">'
        f'<title id="{ROUTE}-t">{title}</title><desc id="{ROUTE}-d">{escape(told)}</desc>'
        f'<path d="{cord_path(nodes)}" fill="none" stroke="currentColor" stroke-opacity=".6"/>{drawn}{words}</svg>'
    )
    return (Figure(ROUTE, title, told, svg, width, height),)


def _as_seen(stops: tuple[Stop, ...]) -> list[Node]:
    """The stops where they lie as one sees them; none where they do not say it."""
    places = laid_out([(stop.kind, stop.said) for stop in stops])
    return taut(
        [
            Node(_MARGIN + x * _WIDE, _MARGIN + y * _HIGH, _RADIUS.get(stop.kind, 0.0))
            for (x, y), stop in zip(places, stops, strict=False)
        ]
    )


def _in_a_row(stops: tuple[Stop, ...]) -> list[Node]:
    """The stops side by side, the cord over one and under the next, so that it is seen to go round."""
    return [
        Node(_STEP * (number + 0.5), _MIDDLE, _RADIUS.get(stop.kind, 0.0), left=number % 2 == 1)
        for number, stop in enumerate(stops)
    ]


def _shape(node: Node, stop: Stop) -> str:
    x, y = node.x, node.y
    if node.radius:
        at = f'cx="{x:.1f}" cy="{y:.1f}" r="{node.radius:g}"'
        return f'<circle {at} fill="none" stroke="currentColor" stroke-width="2"/>'
    if stop.kind == "spring":
        return f'<path d="M{x - 10:.1f} {y:.1f}l4 -5l4 10l4 -10l4 10l4 -5" fill="none" stroke="currentColor"/>'
    return f'<path d="M{x:.1f} {y - 8:.1f}v16" stroke="currentColor" stroke-width="3"/>'


def _words(number: int, nodes: list[Node], stops: tuple[Stop, ...]) -> str:
    """What a stop is called, below it, and how often the cord goes round, above it.

    Where several lie in one place their names stand one below the other.
    """
    node, stop = nodes[number], stops[number]
    above = [other for other in nodes[:number] if abs(other.x - node.x) < _SMALL and abs(other.y - node.y) < _SMALL]
    reach = max((one.radius for one in nodes if (one.x, one.y) == (node.x, node.y)), default=node.radius) or _SMALL
    label = _text(node.x, node.y + reach + 14 + 13 * len(above), f"{number + 1} {stop.kind}")
    turns = _text(node.x, node.y - reach - 6, f"{stop.times_round:g}×") if stop.times_round else ""
    return label + turns


def _text(x: float, y: float, said: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="middle" font-size="11" fill="currentColor">{escape(said)}</text>'
    )
