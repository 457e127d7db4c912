"""A reading against its expected value: bounds of what was written, the band that is allowed, and the verdict."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from ...circuit.usual_limits import READING_LIMIT
from ...record.figures import to_figures
from ...record.quantities import Quantity
from .direct_coupling import OwnCathode
from .spots import Spot

_USUAL = 0.2


def tolerance_or_usual(tolerance: float | None) -> float:
    """The tolerance that a list states, or ±20 % of what is expected where it states none.

    Common practice of the trade for parts and tubes of the period, no source.
    """
    return _USUAL if tolerance is None else tolerance


FLOOR_VOLTS = 0.5
"""Least width of the band either way, in volts. Contact potential differs by tenths of a volt from tube to tube, and a
moving-coil meter may be off by 3 % of its range. Common practice, no source."""

CATHODE_FLOOR_VOLTS = 0.2
"""The same for a cathode: 3 % of a 2.5 V to 10 V range. Common practice, no source."""

ZERO_VOLTS = 0.05
"""What still counts as 0 where any voltage is a finding: a few steps of a meter's last digit, and more than 0.1 A makes
in the wire between a cathode and the chassis. Common practice, no source."""

BY_DESIGN_VOLTS = 1.0
"""A control grid published at this or more is meant to be positive (direct coupling)."""

COUPLED_VOLTS = 40.0
"""From here on a grid of which nothing is written may be coupled directly. Common practice, no source."""

WITHIN, LOW, HIGH = "within", "low", "high"
POSITIVE_GRID, NOT_READ, NOT_EXPECTED, UNDECIDED = "positive grid", "not read", "no expected value", "cannot tell"
OUTSIDE = (LOW, HIGH, POSITIVE_GRID)
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Bounds:
    """The least and the most a written value can be, in volts; infinite where it has no end."""

    low: float
    high: float

    def times(self, factor: float) -> Bounds:
        return Bounds(self.low * factor, self.high * factor)


def bounds(value: Quantity, range_volts: float | None = None) -> Bounds:
    """What a reading says. ``<`` and ``>`` are of its size; ``range_volts`` is the meter's range, for an overrange."""
    si = value.si
    if value.qualifier == "overrange":
        return Bounds(range_volts, math.inf) if range_volts else Bounds(-math.inf, math.inf)
    if si is None:
        known = value.low is not None and value.high is not None
        return Bounds(value.low or 0.0, value.high or 0.0) if known else Bounds(-math.inf, math.inf)
    if value.qualifier in ("lt", "le"):
        return Bounds(-si, si) if si >= 0 else Bounds(-math.inf, si)
    if value.qualifier in ("gt", "ge"):
        return Bounds(si, math.inf)
    return Bounds(si, si)


def single(value: Quantity | None) -> float | None:
    """The one number a reading is, in volts; None for bounds, ranges and what was not read."""
    return value.si if value and value.qualifier in ("exact", "approx", "tolerance") else None


def middle(value: Quantity) -> float | None:
    """The number an expected value is held to: the middle of a range."""
    if value.qualifier == "range" and value.low is not None and value.high is not None:
        return (value.low + value.high) / 2
    return single(value)


@dataclass(frozen=True, slots=True)
class Allowed:
    """The band a reading must lie in, in volts, and how it came about: ``assumed``, ``stated`` or ``floor``."""

    bounds: Bounds
    by: str


@dataclass(frozen=True, slots=True)
class Adjusted:
    """What an expected value is multiplied by, with the band of that factor, and the volts it is then moved by."""

    factor: float = 1.0
    low: float = 1.0
    high: float = 1.0
    shift: float = 0.0

    def times(self, factor: float) -> Adjusted:
        return Adjusted(self.factor * factor, self.low * factor, self.high * factor, self.shift)


def allowed(spot: Spot, expected: Quantity, by: Adjusted, tolerance: float | None) -> Allowed:
    """The band about an expected value as adjusted; ``tolerance`` as its list states it, or None."""
    centre = middle(expected)
    if centre is None:
        return Allowed(_moved(bounds(expected), by), "stated")
    if expected.low is not None and expected.high is not None:
        return Allowed(_moved(Bounds(expected.low, expected.high), by), "stated")
    here = centre * by.factor + by.shift
    if spot.kind == "cathode" and spot.current == "DC" and abs(here) < ZERO_VOLTS:
        return Allowed(Bounds(-ZERO_VOLTS, ZERO_VOLTS), "zero")
    share = abs(here) * tolerance_or_usual(tolerance)
    floor = CATHODE_FLOOR_VOLTS if spot.kind == "cathode" else FLOOR_VOLTS
    half = max(share, floor)
    how = "floor" if floor > share else "assumed" if tolerance is None else "stated"
    ends = sorted((centre * by.low + by.shift, here, centre * by.high + by.shift))
    return Allowed(Bounds(ends[0] - half, ends[-1] + half), how)


def _moved(ends: Bounds, by: Adjusted) -> Bounds:
    low, high = ends.low * by.low, ends.high * by.high
    return Bounds(min(low, ends.low * by.high) + by.shift, max(high, ends.high * by.low) + by.shift)


def verdict(
    spot: Spot,
    expected: Quantity | None,
    band: Allowed | None,
    measured: Quantity | None,
    range_volts: float | None,
    uncertainty: float = 0.0,
    beside: OwnCathode | None = None,
) -> str:
    """The word for one reading; ``range_volts`` is the meter's range, for what lies beyond it.

    Within ``uncertainty`` volts of the band's edge it cannot be told; a grid's sign is that of the reading.

    A control grid that is positive is that first of all, unless it is so by design: its published voltage is positive
    too, or its stage is coupled directly. Then it is ``beside`` its own cathode that it must not be positive.
    """
    if measured is None:
        return NOT_READ
    read = bounds(measured, range_volts)
    spread = Bounds(read.low - uncertainty, read.high + uncertainty)
    told = against(band.bounds, spread) if band else NOT_EXPECTED
    if not spot.is_control_grid or read.low < ZERO_VOLTS:
        return told
    centre = middle(expected) if expected else None
    published = None if centre is None else centre >= BY_DESIGN_VOLTS
    return _positive(read.low, told, beside or OwnCathode(), published)


def _positive(grid: float, told: str, beside: OwnCathode, published: bool | None) -> str:
    """The word for a grid of more than 0 V: what its band tells, where it may be so.

    ``published`` says whether the expected value is that of a grid which stands at a voltage; None without one.
    """
    cathode, coupled = beside.volts, beside.coupled
    if published or coupled:
        if cathode is not None:
            return POSITIVE_GRID if grid > cathode * (1 + READING_LIMIT) + ZERO_VOLTS else told
        return POSITIVE_GRID if told == HIGH and not coupled else told
    if published is False or coupled is False or grid < COUPLED_VOLTS:
        return POSITIVE_GRID
    # A fault seldom lifts a grid so far, and never with its cathode just above it.
    if cathode is None:
        return UNDECIDED
    return told if cathode / 2 <= grid <= cathode else POSITIVE_GRID


def all_within(verdicts: Iterable[str]) -> bool:
    """Whether something was held to a value, and all of it is within its band."""
    told = {*verdicts}
    return WITHIN in told and not told & {*OUTSIDE, UNDECIDED}


def against(band: Bounds, read: Bounds) -> str:
    """High and low are of the voltage's size: -7 V where -10 V is expected is low."""
    hair = _HAIR * max(abs(band.low), abs(band.high)) if math.isfinite(band.low) and math.isfinite(band.high) else 0.0
    negative = band.high < 0 and math.isfinite(band.low)
    if read.high < band.low - hair:
        return HIGH if negative else LOW
    if read.low > band.high + hair:
        return LOW if negative else HIGH
    if read.low >= band.low - hair and read.high <= band.high + hair:
        return WITHIN
    return UNDECIDED


def deviation(measured: float | None, expected: float | None) -> float | None:
    """How far a reading is off, as a ratio of the expected value: -0.2 is 20 % low, of three figures.

    None without both, or against 0.
    """
    if measured is None or not expected:
        return None
    return to_figures(measured / expected - 1)
