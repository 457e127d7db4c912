"""The response and the detector's curve as swept, in hertz and decibels or volts, and what they come to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.frequencies import near_intermediate
from ...electrics.response import DECIBEL_FACTORS, Swept, in_decibels, s_curve, swept
from ...record.figures import in_figures, to_figures
from ...report.typed import Typed, typed
from .findings import DetectorCurve, SweptResponse

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.curve import CurvePoint

_FIGURES = 6


def swept_response(points: tuple[CurvePoint, ...], record: Record) -> SweptResponse | None:
    """A response by its points; None where none were written."""
    if not points:
        return None
    levels = _typed(points)
    hertz = [point.at.si or 0.0 for point in points]
    known = _decibels(points) if all(point.at.unit == "Hz" and (point.at.si or 0) > 0 for point in points) else None
    if known is None:
        return SweptResponse((), None, levels=levels)
    found = tuple(sorted(zip(hertz, known, strict=True)))
    middle = max(found, key=lambda point: point[1])[0]
    about = near_intermediate(middle, record)
    said = _in_figures(swept(found, about))
    if said is None:
        return SweptResponse(found, about, levels=levels)
    return SweptResponse(
        found,
        about,
        to_figures(said.three.width, _FIGURES),
        to_figures(said.six.width, _FIGURES),
        to_figures(said.six.middle or said.three.middle, _FIGURES),
        said.q,
        said,
        levels,
    )


def _in_figures(said: Swept | None) -> Swept | None:
    """What it comes to, with the figures that readings between points can say."""
    if said is None:
        return None
    three, six = (in_figures(band, "low", "high", digits=_FIGURES) for band in (said.three, said.six))
    told = replace(said, three=three, six=six)
    return in_figures(told, "q", "evenness", "dip_db", "about_hertz", digits=_FIGURES)


def detector_curve(points: tuple[CurvePoint, ...]) -> DetectorCurve | None:
    """A detector's curve by its points; None where none were written."""
    if not points:
        return None
    plain = all(p.at.unit == "Hz" and (p.at.si or 0) > 0 and p.level.unit in ("V", "A") for p in points)
    if not plain or any(point.level.si is None for point in points):
        return DetectorCurve((), levels=_typed(points))
    found = tuple(sorted((point.at.si or 0.0, point.level.si or 0.0) for point in points))
    said = s_curve(found)
    if said is None:
        return DetectorCurve(found, levels=_typed(points))
    zero, width, balance = (to_figures(each, _FIGURES) for each in (said.zero_hertz, said.width_hertz, said.balance))
    return DetectorCurve(found, zero, width, balance, said, _typed(points))


def _decibels(points: Iterable[CurvePoint]) -> list[float] | None:
    """The levels in decibels below the highest; None where they are of several kinds, or one is no number above 0."""
    levels = [point.level for point in points]
    units = {level.unit for level in levels}
    values = [level.si for level in levels if level.si is not None]
    if len(units) != 1 or len(values) != len(levels):
        return None
    unit = units.pop()
    if unit == "dB":
        return [value - max(values) for value in values]
    return in_decibels(values, DECIBEL_FACTORS[unit]) if unit in DECIBEL_FACTORS else None


def _typed(points: Iterable[CurvePoint]) -> tuple[tuple[Typed, Typed], ...]:
    pairs = ((typed(point.at), typed(point.level)) for point in points)
    return tuple((at, level) for at, level in pairs if at is not None and level is not None)
