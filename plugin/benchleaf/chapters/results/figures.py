"""The curves that were measured, on logarithmic axes where the trade has them so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...report.sentence import text_of
from .curves import decibels_of
from .curves_said import curve_in_words

if TYPE_CHECKING:
    from ...drawing import Figure
    from ..bench import Bench
    from .findings import MeasuredCurve, ResultsFindings

_X = {"Hz": "frequency, Hz", "V": "signal, V", "W": "power, W"}
_Y = {"V": "voltage, V", "A": "current, A", "W": "power, W", "1": "per cent", "dB": "decibels"}


def draw(findings: ResultsFindings, bench: Bench) -> tuple[Figure, ...]:
    """A figure for each curve of two points at least."""
    return tuple(_figure(curve) for curve in findings.curves if len(curve.points) > 1)


def _figure(curve: MeasuredCurve) -> Figure:
    from ...drawing.plot import Limit, LinePlot, Series, to_figure

    drawn = [("after" if curve.before else curve.name, curve.points)]
    drawn += [("before", curve.before)] if curve.before else []
    shown = [(name, _shown(curve, points)) for name, points in drawn]
    level = curve.subject == "response" and curve.reference_hertz is not None
    limits = [Limit(0.1 * 100, 0.1 * 100, "10 %")] if curve.subject == "distortion" and curve.unit == "1" else []
    plot = LinePlot(
        [Series([at for at, _ in points], [value for _, value in points], name) for name, points in shown],
        x_label=_X.get(curve.at_unit, curve.at_unit),
        y_label="decibels" if level else _Y.get(curve.unit, curve.unit),
        log_x=curve.at_unit in ("Hz", "V", "W") and curve.subject != "selectivity",
        log_y=curve.at_unit == "V" and curve.unit in ("V", "A", "W") and all(v > 0 for _, p in shown for _, v in p),
        limits=limits,
    )
    title = curve.name[:1].upper() + curve.name[1:]
    return to_figure(plot, name=curve.figure, title=title, description=text_of(curve_in_words(curve)))


def _shown(curve: MeasuredCurve, points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Points as they are drawn: a frequency response in decibels, distortion in per cent."""
    if curve.unit == "1":
        return tuple((at, value * 100) for at, value in points)
    levels = decibels_of(points, curve.unit) if curve.subject == "response" and curve.reference_hertz else None
    return levels or points
