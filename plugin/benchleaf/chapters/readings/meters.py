"""What a meter's own resistance makes of a reading, taken out on both sides where everything it needs is known."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product

from ...electrics.loading import meter_ohms, true_volts
from ...record.figures import to_figures
from .behind import ABOVE_RANGE
from .judging import HIGH, LOW, tolerance_or_usual
from .rows import Loading, LoadingUnknown, MeterMayExplain, ReadingRow, SourceResistance, SourceUnknown
from .runs import Conditions, Readings

FAR_DOWN = 0.1
"""Below this share of its range a pointer's error, which is one of full scale, is more than any tolerance covers."""

SCALE_ERROR = 0.03
"""Error of full scale of a moving-coil meter that none is written of. Common practice, no source."""

SCALE_READING = 0.01
"""How well a pointer is read, of full scale: half a division of fifty. Common practice, no source."""


def loading(
    behind: SourceResistance | SourceUnknown | None, volts: float, read: float | None, source: Readings, run: Readings
) -> Loading | LoadingUnknown | None:
    """What takes an expected value from what one list's meter showed to what another's would.

    ``volts`` is the expected value, ``read`` what was read. None without both meters, or where they are one and the
    same. Where the source or a meter's range is not known, the ends between which the factor lies, and why.
    """
    its = _input_ohms(volts, source.conditions)
    this = _input_ohms(volts if read is None else read, run.conditions)
    if behind is None or its is None or this is None or source.conditions.input_ohms == run.conditions.input_ohms:
        return None

    def factor(ohms: float, its_ohms: float, this_ohms: float) -> float:
        return (1 + ohms / its_ohms) / (1 + ohms / this_ohms)

    ends = [factor(*corner) for corner in product(_ends(behind), its, this)]
    if isinstance(behind, SourceUnknown):
        return LoadingUnknown(behind.why, *_rounded(min(ends), max(ends)))
    if its[0] != its[1] or this[0] != this[1]:
        return LoadingUnknown(ABOVE_RANGE, *_rounded(min(ends), max(ends)))
    factors = _rounded(factor(behind.ohms, its[0], this[0]), min(ends), max(ends))
    return Loading(behind, its[0], this[0], *factors)


def _rounded(*factors: float) -> list[float]:
    return [round(factor, 3) for factor in factors]


def _ends(behind: SourceResistance | SourceUnknown) -> tuple[float, float]:
    """Least and most ohms behind a place."""
    return (0.0, behind.most_ohms) if isinstance(behind, SourceUnknown) else (behind.low_ohms, behind.high_ohms)


def _input_ohms(volts: float, conditions: Conditions) -> tuple[float, float] | None:
    """Least and most that a list's meter loads a place with; two ends where the value lies above its written range."""
    known = conditions.input_ohms
    if known is None:
        return None
    range_volts, sensitivity = conditions.meter_range_volts, conditions.meter_ohms_per_volt
    if conditions.meter_ohms is not None or not range_volts or not sensitivity or abs(volts) <= range_volts:
        return known, known
    return meter_ohms(sensitivity, abs(volts)), math.inf


def taken_amps(volts: float, conditions: Conditions) -> tuple[float, float]:
    """What a meter takes where it reads ``volts``, in amperes, and what that may be off by; nothing of an unknown one.

    On a range that is not written it is anything from nothing to full scale.
    """
    sensitivity, known = conditions.meter_ohms_per_volt, _input_ohms(volts, conditions)
    if known is not None and known[0] == known[1]:
        return volts / known[0], 0.0
    if not sensitivity:
        return 0.0, 0.0
    half = math.copysign(0.5 / sensitivity, volts)
    return half, abs(half)


def scale_uncertainty(volts: float | None, conditions: Conditions) -> float | None:
    """What a value far down a pointer's scale may be off by, in volts; None where it is not, or its range is unknown.

    The error of full scale with the reading of the scale; further up the tolerance of the list covers both.
    """
    range_volts = conditions.meter_range_volts
    if volts is None or not range_volts or conditions.meter_ohms is not None or abs(volts) >= FAR_DOWN * range_volts:
        return None
    of_scale = conditions.meter_error_of_range
    share = (SCALE_ERROR if of_scale is None else of_scale) + SCALE_READING
    return share * range_volts + (conditions.meter_error or 0.0) * abs(volts)


def _on_range(volts: float, conditions: Conditions) -> bool:
    """Whether a reading was taken on the list's range, rather than on a lower or a higher one."""
    if conditions.meter_ohms is not None or not conditions.meter_range_volts:
        return True
    return FAR_DOWN * conditions.meter_range_volts <= abs(volts) <= conditions.meter_range_volts


def may_explain(
    row: ReadingRow, behind: SourceResistance | SourceUnknown | None, source: Readings, run: Readings
) -> ReadingRow:
    """A row that is off and of which one meter is known: what that one may make, or what is lacking to know it."""
    its, this = source.conditions.input_ohms, run.conditions.input_ohms
    whose = "expected" if row.verdict == HIGH and its else "measured" if row.verdict == LOW and this else ""
    if not whose or row.loading or row.measured_volts is None or row.adjusted_volts is None or row.as_typed:
        return row
    if row.loading_unknown or behind is None:
        return row
    if isinstance(behind, SourceUnknown):
        lacks = f"what a meter makes of it cannot be computed: {behind.why}"
        return replace(row, remarks=(*row.remarks, lacks))
    tolerance = tolerance_or_usual(row.tolerance)
    if whose == "expected" and its and row.adjusted_volts > 0:
        printed = row.adjusted_volts + (row.expected_uncertainty_volts or 0.0)
        most = true_volts(printed, behind.high_ohms, its)
        if row.measured_volts <= most * (1 + tolerance):
            return replace(row, meter=MeterMayExplain(whose, its, behind, to_figures(most)))
    if whose == "measured" and this and row.measured_volts > 0:
        most = true_volts(row.measured_volts, behind.high_ohms, this)
        if most >= row.adjusted_volts * (1 - tolerance):
            return replace(row, meter=MeterMayExplain(whose, this, behind, to_figures(most)))
    return row


def uncertainty(volts: float | None, run: Readings) -> float | None:
    """How far a reading may be off by the meter, in volts; None where the meter's error or its range is not known."""
    if volts is None:
        return None
    conditions = run.conditions
    if conditions.meter_error_of_range is not None and not _on_range(volts, conditions):
        return None
    return conditions.uncertainty(volts)
