"""What a set is fed from: the line's volts and hertz, AC or DC, and what stands between it and B+."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..record.model import Line, Record
    from ..record.quantities import Quantity
    from ..words import Words

LINE_BAND = 0.10
"""Low and high line where the record does not give them. Common practice, no source."""

NOMINAL_VOLTS = (24.0, 260.0)
"""Nominal lines that sets were fed from, AC or DC. Common practice, no source."""

LINE_HERTZ = (16.0, 133.0)
"""From railway supplies of 16 2/3 Hz to the 133 Hz of the first lighting stations. Common practice, no source."""

_OWN_SUPPLY = ("battery", "vibrator")
ON_THE_LINE = ("series string", "three-way")


@dataclass(frozen=True, slots=True)
class LineVolts:
    """The line a set is fed from, or its battery: volts RMS, or DC. A limit nobody wrote is ``LINE_BAND`` off."""

    low: float
    nominal: float
    high: float
    low_assumed: bool
    high_assumed: bool

    @property
    def limits_assumed(self) -> bool:
        """Whether low or high line is not written."""
        return self.low_assumed or self.high_assumed


@dataclass(frozen=True, slots=True)
class Mains:
    """How a set is fed. ``power`` is the kind of supply as written, ``""`` where it is not.

    ``volts`` is None where no line is written, or one that cannot be so; of a limit that cannot be so, the assumed one
    stands here. ``hertz`` is None on direct current and where no frequency is written. ``direct`` is true where the
    line is said to be DC, and for a set with a battery of its own.
    """

    power: str
    volts: LineVolts | None
    hertz: float | None
    direct: bool

    @property
    def from_line(self) -> bool:
        """Whether the set is fed from the line; a set of which nothing is written counts as one that is."""
        return is_from_line(self.power)

    def fed_by(self, words: Words) -> str:
        """What a page calls the volts the set is fed with: those of the line, or of its battery."""
        return words.line if self.from_line else "battery"

    @property
    def on_batteries(self) -> bool:
        """Whether the set plays from dry batteries, alone or beside the line."""
        return self.power in ("battery", "three-way")

    @property
    def vibrator(self) -> bool:
        """Whether a vibrator chops the supply."""
        return self.power == "vibrator"

    @property
    def straight_from_line(self) -> bool:
        """Whether B+ is rectified from the line itself, with no winding between. One diode does it, half-wave."""
        return self.power in ON_THE_LINE

    @property
    def heaters_in_string(self) -> bool:
        """Whether the kind of supply alone says that the heaters are in a series string on the line."""
        return self.power == "series string"

    @property
    def double_wound(self) -> bool:
        """Whether a transformer of two windings stands between the line and the set."""
        return self.power == "transformer"

    @property
    def wound(self) -> bool:
        """Whether the line feeds a winding, be it a transformer's or an autotransformer's."""
        return self.double_wound or self.power == "autotransformer"

    @property
    def makes_b_plus(self) -> bool:
        """Whether the set is known to make its B+ with a rectifier."""
        return self.power not in ("", "battery")


def mains_of(record: Record) -> Mains:
    """How the set of a record is fed."""
    power, line = str(record.power or ""), record.line
    direct = is_direct(record)
    hertz = line.frequency.si if line and line.frequency else None
    known = hertz is not None and LINE_HERTZ[0] <= hertz <= LINE_HERTZ[1]
    return Mains(
        power=power,
        volts=_volts(line, power) if line else None,
        hertz=hertz if known and not direct else None,
        direct=direct,
    )


def is_from_line(power: str | None) -> bool:
    """Whether a set of this kind of supply is fed from the line."""
    return power not in _OWN_SUPPLY


def is_direct(record: Record) -> bool:
    """Whether direct current feeds the set: a line said to be DC, a battery, or a vibrator's battery."""
    said = str(record.line.current or "").upper() if record.line else ""
    return said == "DC" or not is_from_line(record.power)


def nominal_bounds(power: str | None) -> tuple[float, float]:
    """Lowest and highest nominal volts of a set of this kind; the lowest of a battery is just above zero."""
    return NOMINAL_VOLTS if is_from_line(power) else (0.0, NOMINAL_VOLTS[1])


def can_be_nominal(volts: float | None, power: str | None) -> bool:
    """Whether the nominal line, or the battery, of a set of this kind can have these volts."""
    least, most = nominal_bounds(power)
    return volts is not None and volts > 0 and least <= volts <= most


def can_be_low(volts: float | None, nominal: float) -> bool:
    """Whether low line can have these volts beside the nominal ones."""
    return volts is not None and 0 < volts <= nominal


def can_be_high(volts: float | None, nominal: float) -> bool:
    """Whether high line can have these volts beside the nominal ones."""
    return volts is not None and nominal <= volts <= HIGHEST_VOLTS


HIGHEST_VOLTS = round(NOMINAL_VOLTS[1] * (1 + LINE_BAND), 6)
"""The highest nominal line at its highest."""


def _volts(line: Line, power: str) -> LineVolts | None:
    nominal = line.volts.si
    if nominal is None or not can_be_nominal(nominal, power):
        return None
    low, high = _si(line.low), _si(line.high)
    low_known, high_known = can_be_low(low, nominal), can_be_high(high, nominal)
    return LineVolts(
        low=low if low is not None and low_known else nominal * (1 - LINE_BAND),
        nominal=nominal,
        high=high if high is not None and high_known else nominal * (1 + LINE_BAND),
        low_assumed=not low_known,
        high_assumed=not high_known,
    )


def _si(quantity: Quantity | None) -> float | None:
    return quantity.si if quantity else None
