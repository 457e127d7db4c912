"""What is written of the set's line and cannot be so, each a Problem at its word.

Only the line at the top of the record is asked about: 40 V at power-up is a step on the way.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.problems import quoted
from ..mains import (
    HIGHEST_VOLTS,
    LINE_HERTZ,
    can_be_high,
    can_be_low,
    can_be_nominal,
    is_direct,
    is_from_line,
    nominal_bounds,
)

if TYPE_CHECKING:
    from ...record.model import Line, Record
    from ...record.quantities import Quantity
    from ...record.slips import Found, Slips

_CHECK = "check the number and its unit"
_SIGN = "leave the sign out"
_OWN_SUPPLY = "for a set on batteries or a vibrator say so under “power”"


def look_over(record: Record, slips: Slips) -> None:
    """Tell every contradiction in the record's line."""
    if record.line:
        slips.add_all(_volts(record.line, record.power))
        slips.add_all(_current(record, record.line))


def _volts(line: Line, power: str | None) -> Iterator[Found]:
    nominal = line.volts.si
    if nominal is None:
        yield line.volts, "line.volts", quoted(line.volts.written), "one nominal voltage", _ends(line.volts)
    elif not can_be_nominal(nominal, power):
        least, most = nominal_bounds(power)
        whole = f"a nominal line of {least:g} to {most:g} V"
        expected = whole if least else f"a voltage above 0 V and at most {most:g} V"
        yield line.volts, "line.volts", quoted(line.volts.written), expected, _too(nominal, least)
    beside = nominal if nominal is not None and can_be_nominal(nominal, power) else None
    yield from _limits(line, beside)


def _limits(line: Line, nominal: float | None) -> Iterator[Found]:
    """Low and high line, beside a nominal line that can be so."""
    beside = quoted(line.volts.written)
    if line.low is not None and not can_be_low(line.low.si, line.low.si or 0.0 if nominal is None else nominal):
        expected = f"a low line above 0 V and not above the nominal {beside}"
        yield line.low, "line.low", quoted(line.low.written), expected, _sign(line.low.si)
    if line.high is not None and not can_be_high(line.high.si, nominal or 0.0):
        expected = f"a high line not below the nominal {beside}, and at most {HIGHEST_VOLTS:g} V"
        yield line.high, "line.high", quoted(line.high.written), expected, _sign(line.high.si)


def _current(record: Record, line: Line) -> Iterator[Found]:
    """The frequency, and whether there can be one."""
    on_battery = not is_from_line(record.power)
    fed = f"in a set with “power: {record.power}”"
    if on_battery and str(line.current or "").upper() == "AC":
        yield line.current, "line.current", f"{quoted('AC')} {fed}", "its battery’s direct current", ""
    if line.frequency is None:
        return
    hertz, written = line.frequency.si, quoted(line.frequency.written)
    at = line.frequency
    if is_direct(record):
        beside = fed if on_battery else "on direct current"
        yield at, "line.frequency", f"{written} {beside}", "no frequency: direct current has none", ""
    elif hertz is None or not LINE_HERTZ[0] <= hertz <= LINE_HERTZ[1]:
        remedy = "write “DC” for direct current" if hertz == 0 else _sign(hertz)
        yield at, "line.frequency", written, f"{LINE_HERTZ[0]:g} to {LINE_HERTZ[1]:g} Hz", remedy


def _too(volts: float, least: float) -> str:
    if volts == 0:
        return "leave the line out where it is not known"
    return _OWN_SUPPLY if 0 < volts < least else _sign(volts)


def _sign(size: float | None) -> str:
    return _SIGN if size is not None and size < 0 else _CHECK


def _ends(volts: Quantity) -> str:
    """How to write a range that stands in the place of the nominal line."""
    if volts.low is None or volts.high is None:
        return ""
    return f"write the nominal volts, and the ends as “low {volts.low:g} V, high {volts.high:g} V”"
