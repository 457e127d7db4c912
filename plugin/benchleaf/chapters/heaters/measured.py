"""Measured heater volts beside the computed ones: do they add up to the line, and which tube is off its share?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median

from ...record.model import HeaterSupply
from ...record.quantities import Quantity
from ...record.text import Text
from .rated import is_lamp, position, si
from .string import HeaterString, RunningLine

ADDS_UP = 0.03
"""How far the measured volts may miss the line before that is the finding."""

OFF_SHARE, FAR_OFF_SHARE = 0.05, 0.10
"""A tube is a little off its share, and far off. Heaters of one type differ by a few per cent in current, and volts at one
current differ 1/0.6 times as much. Common practice, no source."""

WHOLE_STRING_OFF = 0.05
DARK = 0.02
MOST_OF_THE_LINE = 0.8


@dataclass(frozen=True, slots=True)
class Cause:
    """What a reading points to, what to measure next, and where that is from."""

    cause: str
    next: str
    source: str


@dataclass(frozen=True, slots=True)
class MeasuredTube:
    """One tube's measured volts, beside the computed ones at the measured line.

    ``off_share`` is how far it is from its share of what the string was measured to have; ``verdict`` is ``as computed``,
    ``a little off``, ``far off``, ``dark``, ``open`` or ``not known``.
    """

    tube: str
    measured_volts: float
    computed_volts: float | None
    rated_volts: float | None
    of_rated: float | None
    off_computed: float | None
    off_share: float | None
    verdict: str
    suggestion: Cause | None = None


@dataclass(frozen=True, slots=True)
class MeasuredHeaters:
    """All that was measured of the heaters, at one line voltage."""

    line_volts: float | None
    line_assumed: bool
    tubes: tuple[MeasuredTube, ...]
    not_measured: tuple[str, ...]
    other_names: tuple[str, ...]
    sum_volts: float | None
    dropper_volts: float | None
    dropper_computed: bool
    lamp_volts: float | None
    adds_to_volts: float | None
    off_line: float | None
    off_line_volts: float | None
    adds_up: bool | None
    of_computed: float | None
    current_amps: float | None
    current_computed_amps: float | None
    off_current: float | None
    whole_string: Cause | None
    sum_suggestion: Cause | None
    unwritten_dropper_ohms: float | None = None


COMMON = "common practice, no source"
LOVELL = "L. Lovell, Antique Radio Repair (1989), on series strings"


def beside_computed(
    supply: HeaterSupply,
    string: HeaterString | None,
    computed: RunningLine | None,
    nominal_volts: float | None,
    rated: Mapping[str, float | None],
    tubes_word: str,
) -> MeasuredHeaters | None:
    """The readings beside ``computed``, which is the string (or the windings) at the measured line."""
    written = supply.measured
    if written is None:
        return None
    line = si(written.line)
    volts, lamp_volts, others = _readings(written.volts, rated, supply)
    ratio = _common(volts, computed)
    open_at = _open(volts, line or nominal_volts, string)
    tubes = tuple(_tube(t, v, computed, rated, ratio, open_at, string) for t, v in volts.items())
    total = math.fsum(volts.values()) if volts else None
    missing = tuple(r.tube for r in string.tubes if r.tube not in volts) if string else ()
    sums = _sums(string, computed, volts, missing, lamp_volts, _volts(written.dropper), line or nominal_volts)
    amps, computed_amps = si(written.current), computed.current_amps if computed else None
    off = sums.off if sums and open_at is None else None
    return MeasuredHeaters(
        line_volts=line or nominal_volts,
        line_assumed=line is None,
        tubes=tubes,
        not_measured=missing,
        other_names=others,
        sum_volts=total,
        dropper_volts=sums.dropper if sums else _volts(written.dropper),
        dropper_computed=sums is not None and sums.dropper_computed,
        lamp_volts=lamp_volts,
        adds_to_volts=sums.total if sums else None,
        off_line=off,
        off_line_volts=sums.total - sums.line if sums and off is not None else None,
        adds_up=abs(off) <= ADDS_UP if off is not None else None,
        of_computed=ratio,
        current_amps=amps,
        current_computed_amps=computed_amps,
        off_current=amps / computed_amps - 1 if amps and computed_amps else None,
        whole_string=_whole(ratio, open_at, tubes_word),
        sum_suggestion=_missing_volts(off, string),
        unwritten_dropper_ohms=_unwritten(sums, off, string, amps or (string.current_amps if string else None)),
    )


@dataclass(frozen=True, slots=True)
class _Sums:
    line: float
    total: float
    dropper: float | None
    dropper_computed: bool

    @property
    def off(self) -> float:
        return self.total / self.line - 1


def _volts(reading: Quantity | None) -> float | None:
    return None if reading is None or reading.si is None else abs(reading.si)


def _readings(
    written: Mapping[Text, Quantity], rated: Mapping[str, float | None], supply: HeaterSupply
) -> tuple[dict[str, float], float | None, tuple[str, ...]]:
    """Volts by tube, the lamp's volts, and names that are neither (a winding's volts belong to the windings)."""
    volts: dict[str, float] = {}
    lamp, others = None, []
    for name, reading in written.items():
        value = _volts(reading)
        place = position(str(name), rated)
        if place and value is not None:
            volts[place] = value
        elif is_lamp(str(name)):
            lamp = value
        elif not position(str(name), supply.windings):
            others.append(str(name))
    return volts, lamp, tuple(others)


def _common(volts: Mapping[str, float], computed: RunningLine | None) -> float | None:
    """How much higher or lower than computed the string as a whole was measured: the median over its tubes."""
    if computed is None:
        return None
    ratios = [v / c for t, v in volts.items() if (at := computed.tubes.get(t)) and (c := at.volts)]
    return median(ratios) if len(ratios) > 1 else None


def _open(volts: Mapping[str, float], line: float | None, string: HeaterString | None) -> str | None:
    """The tube that has nearly the whole line across it while the others have nothing: its heater is open."""
    if string is None or not line or len(volts) < 2:
        return None
    top = max(volts, key=lambda t: volts[t])
    rest = [v for t, v in volts.items() if t != top]
    return top if volts[top] >= MOST_OF_THE_LINE * line and max(rest) <= DARK * line else None


def _tube(
    tube: str,
    volts: float,
    computed: RunningLine | None,
    rated: Mapping[str, float | None],
    ratio: float | None,
    open_at: str | None,
    string: HeaterString | None,
) -> MeasuredTube:
    at = computed.tubes.get(tube) if computed else None
    expected, own = at.volts if at else None, rated.get(tube)
    off = volts / expected - 1 if expected else None
    share = None if off is None else (1 + off) / (ratio or 1) - 1 if ratio != 0 else off
    lamp = string is not None and string.lamp is not None and string.lamp.place == "tap" and string.lamp.at == tube
    verdict = _verdict(tube, volts, own, share, open_at)
    suggestion = _cause(verdict, share, lamp, string is not None)
    return MeasuredTube(tube, volts, expected, own, volts / own if own else None, off, share, verdict, suggestion)


def _verdict(tube: str, volts: float, own: float | None, share: float | None, open_at: str | None) -> str:
    if open_at is not None:
        return "open" if tube == open_at else "dark"
    if own and volts <= DARK * own:
        return "dark"
    if share is None:
        return "not known"
    if abs(share) > FAR_OFF_SHARE:
        return "far off"
    return "a little off" if abs(share) > OFF_SHARE else "as computed"


def _cause(verdict: str, share: float | None, lamp: bool, series: bool) -> Cause | None:
    if verdict == "open":
        return Cause(
            "its heater is open, or its socket makes no contact: the whole line stands across the break",
            "pull the plug and measure the heater's resistance at the pins of the tube itself",
            LOVELL,
        )
    if verdict == "dark" and series:
        return Cause(
            "no volts across it: its heater is shorted, bridged, or no current flows in the string",
            "see whether the others glow; with the plug out, measure the resistance across its heater pins",
            COMMON,
        )
    if verdict == "dark":
        return Cause("no volts reach its pins", "measure at the winding, then follow the lead to the socket", COMMON)
    if verdict != "far off" or share is None:
        return None
    if not series:
        return Cause(
            "a bad joint or socket contact between winding and tube, or a reading taken elsewhere",
            "measure at the winding's own lugs with the tubes in and glowing",
            COMMON,
        )
    if lamp and share > 0:
        return Cause(
            "the pilot lamp is out or loose, so that the tap section carries the plate's current alone",
            "look whether the lamp glows; measure the volts across the tap",
            "Nuts and Volts, questions and answers on the 35W4",
        )
    if share > 0:
        return Cause(
            "a type of lower heater current in this socket, or a poor contact counted in the reading",
            "read the type on the glass; measure again at the pins of the tube, not at the wiring",
            COMMON,
        )
    return Cause(
        "a type of higher heater current in this socket, or part of its heater shorted or bridged",
        "read the type on the glass; with the plug out, compare its cold heater resistance with another of the type",
        COMMON,
    )


def _sums(
    string: HeaterString | None,
    computed: RunningLine | None,
    volts: Mapping[str, float],
    missing: tuple[str, ...],
    lamp: float | None,
    dropper: float | None,
    line: float | None,
) -> _Sums | None:
    """Heaters, lamp and dropper against the line; None where a reading is missing that nothing can stand in for."""
    if string is None or not line or not volts or missing or not string.tubes:
        return None
    total = math.fsum(volts.values())
    if string.series_lamp or (string.lamp and string.lamp.place == "series"):
        lamp = lamp if lamp is not None else computed.lamp_volts if computed else None
        if lamp is None:
            return None
        total += lamp
    fitted = string.dropper
    if fitted is None:
        return _Sums(line, total + (dropper or 0.0), dropper, False)
    if fitted.kind == "diode":
        # An AC meter shows half the line behind a diode and RMS is 0.707 of it: readings cannot be added up.
        return None
    stands_in = dropper is None
    if stands_in and computed is not None:
        dropper = computed.capacitor_volts if fitted.kind == "capacitor" else computed.dropper_volts
    if dropper is None:
        return None
    total = math.hypot(total, dropper) if fitted.kind == "capacitor" else total + dropper
    return _Sums(line, total, dropper, stands_in)


def _whole(ratio: float | None, open_at: str | None, tubes_word: str) -> Cause | None:
    if ratio is None or open_at is not None or abs(ratio - 1) <= WHOLE_STRING_OFF:
        return None
    if ratio < 1:
        return Cause(
            f"all {tubes_word} run lower than computed: line lower than written, or more in series than written",
            "measure the line and the dropper's drop in the same minute",
            COMMON,
        )
    return Cause(
        f"all {tubes_word} run higher than computed: line higher than written, dropper low or bridged, or a heater shorted",
        "measure the line, then the dropper with the plug out",
        COMMON,
    )


def _missing_volts(off: float | None, string: HeaterString | None) -> Cause | None:
    if off is None or abs(off) <= ADDS_UP:
        return None
    if off < 0:
        what = "something in series that is not written (a dropper, a surge resistor, a bad switch or joint)"
        if string is not None and string.dropper is not None:
            what = "a bad switch, joint or socket in series, a dropper of another value"
        return Cause(
            f"{what}, or a reading that is wrong",
            "measure from the line's end of the string along it, piece by piece, in one go",
            COMMON,
        )
    return Cause(
        "a reading that is wrong, or a line that was higher than written when the heaters were measured",
        "measure line and heaters again in one go, with the meter's range and kind (AC) checked",
        COMMON,
    )


def _unwritten(sums: _Sums | None, off: float | None, string: HeaterString | None, amps: float | None) -> float | None:
    """The resistance that would take up the missing volts, where the record has no dropper."""
    if sums is None or off is None or off >= -ADDS_UP or string is None or string.dropper is not None or not amps:
        return None
    return (sums.line - sums.total) / amps
