"""Results that were read point by point, and what they come to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from ...electrics.level_curves import avc_hold, power_at_distortion
from ...electrics.response import DECIBEL_FACTORS, band_at, in_decibels
from ...record.figures import to_figures
from ...report.typed import Typed, typed
from .findings import MeasuredCurve
from .subjects import subject_of

if TYPE_CHECKING:
    from ...record.sections.curve import CurvePoint
    from ...record.sections.results import Result

REFERENCES = (400.0, 1000.0)
"""Hz that an audio response is counted from: the first that the points enclose (from memory)."""

CurvePoints = tuple[tuple[float, float], ...]


def curve_of(name: str, result: Result, number: int = 1) -> MeasuredCurve | None:
    """A result's curve, ``number`` its place among the results; None where no points were written."""
    written = result.curve or result.curve_before
    if not written:
        return None
    subject = subject_of(name, result)
    at_unit, unit = _one_unit(written, at=True), _one_unit(written, at=False)
    points = _points(written) if at_unit and unit else ()
    before = _points(result.curve_before) if result.curve and result.curve_before and points else ()
    units_before = tuple(_one_unit(result.curve_before, at=at) for at in (True, False))
    if units_before != (at_unit, unit):
        before = ()
    return MeasuredCurve(
        name=name,
        subject=subject,
        at_unit=at_unit,
        unit=unit,
        points=points,
        before=before,
        note=str(result.note or ""),
        only_before=not result.curve,
        number=number,
        conditions="; ".join(_conditions(result)),
        levels=tuple(_typed(written)),
        levels_before=tuple(_typed(result.curve_before)) if result.curve else (),
        **_said(subject, points, at_unit, unit),
    )


def _conditions(result: Result) -> Iterator[str]:
    said = (("for ", result.for_), ("into ", result.into and result.into.written), ("at ", result.at))
    yield from (f"{head}{words}" for head, words in said if words)
    if result.standard:
        yield str(result.standard)


def _said(subject: str, points: CurvePoints, at_unit: str, unit: str) -> dict[str, Any]:
    """What a curve comes to, by its subject and the kinds of its values."""
    if len(points) < 2:
        return {}
    if subject == "distortion" and (at_unit, unit) == ("W", "1"):
        return {"ten_percent_watts": to_figures(power_at_distortion(points), 3)}
    levels = decibels_of(points, unit)
    if levels is None:
        return {}
    if at_unit == "V":
        held = avc_hold(levels)
        change = levels[-1][1] - levels[0][1]
        told = {"hold_db": to_figures(held[0], 3), "hold_is_least": held[1]} if held else {}
        return {**told, "output_change_db": to_figures(change, 3)}
    if subject == "selectivity" and at_unit == "Hz":
        return {"width_hertz": to_figures(band_at(levels, 6.0).width, 3)}
    return _ends(levels) if subject == "response" and at_unit == "Hz" else {}


_DOWN, _NEAR = 3.0, 0.5
"""Decibels at a corner, and how near to them a point is that was written as one (common practice, no source)."""


def _ends(levels: CurvePoints) -> dict[str, Any]:
    """Where a response is 3 dB below what it has at the reference."""
    import math

    reference = next((hertz for hertz in REFERENCES if levels[0][0] <= hertz <= levels[-1][0]), None)
    if reference is None:
        return {}
    if len(levels) == 2 and all(abs(level + _DOWN) <= _NEAR for _, level in levels):
        # Both corners and nothing between: they are counted from a middle that was not written.
        return {"reference_hertz": reference, "low_hertz": levels[0][0], "high_hertz": levels[1][0]}
    below = max(point for point in levels if point[0] <= reference)
    above = min(point for point in levels if point[0] >= reference)
    share = math.log(reference / below[0]) / math.log(above[0] / below[0]) if above != below else 0.0
    level = below[1] + (above[1] - below[1]) * share
    band = band_at(levels, _DOWN, reference=level, logarithmic=True)
    return {
        "reference_hertz": reference,
        "low_hertz": to_figures(band.low, 3),
        "high_hertz": to_figures(band.high, 3),
    }


def decibels_of(points: CurvePoints, unit: str) -> CurvePoints | None:
    """CurvePoints with their levels in decibels; None for levels that have none."""
    if unit == "dB":
        return points
    levels = in_decibels([level for _, level in points], DECIBEL_FACTORS[unit]) if unit in DECIBEL_FACTORS else None
    return None if levels is None else tuple(zip((at for at, _ in points), levels, strict=True))


def _one_unit(points: Iterable[CurvePoint], *, at: bool) -> str:
    """The unit of all points; empty where they have several, or one of them has no number."""
    values = [point.at if at else point.level for point in points]
    units = {value.unit for value in values if value.si is not None and (not at or value.si > 0)}
    whole = all(value.si is not None and (not at or value.si > 0) for value in values)
    return units.pop() if whole and len(units) == 1 else ""


def _points(points: Iterable[CurvePoint]) -> CurvePoints:
    found = {p.at.si: p.level.si for p in points if p.at.si is not None and p.level.si is not None}
    return tuple(sorted(found.items()))


def _typed(points: Iterable[CurvePoint]) -> Iterator[tuple[Typed, Typed]]:
    for point in points:
        at, level = typed(point.at), typed(point.level)
        if at is not None and level is not None:
            yield at, level
