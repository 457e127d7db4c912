"""The dial cord's route, drawn as a row of its stops."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .examine import MechanicsFindings, Stop

ROUTE = "dial-cord"
_STEP, _MIDDLE, _HEIGHT = 62.0, 60.0, 120.0
_RADIUS = {"drum": 26.0, "pulley": 12.0, "shaft": 9.0}
_SMALL = 5.0


def draw(findings: MechanicsFindings, bench: Bench) -> tuple[Figure, ...]:
    """The route; nothing where no cord is written."""
    from ...drawing import Figure

    if not findings.stops:
        return ()
    width = _STEP * len(findings.stops)
    title = "Route of the dial cord"
    told = "; ".join(f"{number} {stop.said}" for number, stop in enumerate(findings.stops, 1))
    drawn = "".join(_stop(number, stop) for number, stop in enumerate(findings.stops))
    svg = (
        f'<svg class="benchleaf-drawing" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {_HEIGHT:g}" '
        f'width="{width:g}" height="{_HEIGHT:g}" role="img" aria-labelledby="{ROUTE}-t {ROUTE}-d">'
        f'<title id="{ROUTE}-t">{title}</title><desc id="{ROUTE}-d">{escape(told)}</desc>'
        f'<path d="{_cord(findings.stops)}" fill="none" stroke="currentColor" stroke-opacity=".6"/>{drawn}</svg>'
    )
    return (Figure(ROUTE, title, told, svg, width, _HEIGHT),)


def _radius(stop: Stop) -> float:
    return _RADIUS.get(stop.kind, _SMALL)


def _x(number: int) -> float:
    return _STEP * (number + 0.5)


def _cord(stops: tuple[Stop, ...]) -> str:
    """From the top of one stop to the bottom of the next and on, so that it is seen to go round."""
    points = [
        (_x(number), _MIDDLE + (_radius(stop) if number % 2 else -_radius(stop))) for number, stop in enumerate(stops)
    ]
    return "".join(f"{'L' if number else 'M'}{x:.1f} {y:.1f}" for number, (x, y) in enumerate(points))


def _stop(number: int, stop: Stop) -> str:
    x, radius = _x(number), _radius(stop)
    if stop.kind in _RADIUS:
        shape = (
            f'<circle cx="{x:g}" cy="{_MIDDLE:g}" r="{radius:g}" fill="none" stroke="currentColor" stroke-width="2"/>'
        )
    elif stop.kind == "spring":
        shape = f'<path d="M{x - 10:g} {_MIDDLE:g}l4 -5l4 10l4 -10l4 10l4 -5" fill="none" stroke="currentColor"/>'
    else:
        shape = f'<path d="M{x:g} {_MIDDLE - 8:g}v16" stroke="currentColor" stroke-width="3"/>'
    label = f"{number + 1} {stop.kind}"
    turns = f"{stop.times_round:g}×" if stop.times_round else ""
    words = (
        f'<text x="{x:g}" y="{_HEIGHT - 8:g}" text-anchor="middle" font-size="11" fill="currentColor">{label}</text>'
    )
    round_ = (
        f'<text x="{x:g}" y="14" text-anchor="middle" font-size="11" fill="currentColor">{turns}</text>'
        if turns
        else ""
    )
    return shape + words + round_
