"""What should be read against earth in each position of plug and switch, and beside what was measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

METER_SHARE = 0.05
"""Common practice, no source: what a meter and its network may be off, beside the spread of the parts."""


@dataclass(frozen=True, slots=True)
class MeasuredAndComputed:
    """A measured value and what should have been read: with the parts as written, and at the ends of their spread.

    All in the measured value's unit (RMS). ``computed`` is None where nothing could be computed. ``strays`` is what
    the stray capacitance of a transformer makes at most, where that is more than the parts do: then the high end.
    ``bands`` are the low and high ends of the positions that it may have been read in, those that meet as one.
    ``bound`` is ``at most`` or ``at least`` where the meter showed no more than that.
    """

    measured: float
    computed: float | None
    low: float | None
    high: float | None
    strays: float | None = field(default=None, metadata={"json": False})
    bands: tuple[tuple[float, float], ...] = field(default=(), metadata={"json": False})
    bound: str = ""

    @property
    def apart(self) -> bool:
        """Whether nothing is read between some of the positions."""
        return len(self.bands) > 1


@dataclass(frozen=True, slots=True)
class InPosition:
    """What should be read in one position of plug and switch: as written, and at the ends of the spread."""

    plug: str
    switch: str
    low: float
    nominal: float
    high: float

    def fits(self, measured: float, least: float, bound: str = "") -> bool:
        """Whether a reading lies in the band, widened by what a meter may be off; a bound leaves one side free."""
        high = max(self.high * (1 + METER_SHARE), self.high + least)
        above = self.low * (1 - METER_SHARE) - least <= abs(measured)
        return (above or bound == "at least") and (abs(measured) <= high or bound == "at most")


def bands_of(expected: Sequence[InPosition]) -> tuple[tuple[float, float], ...]:
    """The bands of all positions from low to high, those as one that a reading could not tell apart."""
    found: list[tuple[float, float]] = []
    for low, high in sorted((one.low, one.high) for one in expected):
        if found and low * (1 - METER_SHARE) <= found[-1][1] * (1 + METER_SHARE):
            found[-1] = found[-1][0], max(found[-1][1], high)
        else:
            found.append((low, high))
    return tuple(found)
