"""Measured heater volts beside the computed ones: do they add up to the line, and which tube is off its share?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from statistics import median

from ...circuit.heater_names import is_lamp, position
from ...record.figures import to_figures
from ...record.quantities import Quantity
from ...record.sections.heaters import HeaterSupply
from ...record.text import Text
from ...words import Words
from .causes import ADDS_UP, Cause, of_sum, of_tube, of_whole_string
from .rated import si
from .running import RunningLine
from .string import HeaterString

OFF_SHARE, FAR_OFF_SHARE = 0.05, 0.10
"""A tube is a little off its share, and far off. Heaters of one type differ by a few per cent in current, and in
volts at one current 1/0.6 times as much. Common practice, no source."""

DARK = 0.02
MOST_OF_THE_LINE = 0.8


@dataclass(frozen=True, slots=True)
class MeasuredTube:
    """One tube's measured volts, beside the computed ones at the measured line.

    ``off_share`` is how far it is from its share of what the string was measured to have; ``verdict`` is
    ``as computed``, ``a little off``, ``far off``, ``dark``, ``open`` or ``not known``; of a battery filament that is
    off and lies in its own band, ``within its band``: what is computed there rests on the currents of cathodes.
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
    fed_volts: float | None
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
    lamp_computed_volts: float | None = None


def beside_computed(
    supply: HeaterSupply,
    string: HeaterString | None,
    computed: RunningLine | None,
    nominal_volts: float | None,
    rated: Mapping[str, float | None],
    words: Words,
    *,
    own_supply: bool = False,
    bands: Mapping[str, tuple[float, float]] | None = None,
) -> MeasuredHeaters | None:
    """The readings beside ``computed``, which is the string (or the windings) at the measured line.

    With ``own_supply`` the string adds up to a supply of its own, not to the line. ``bands`` are the shares of rated
    volts that battery filaments are held to: a reading among them overrules what is computed.
    """
    written = supply.measured
    if written is None:
        return None
    line = si(written.line)
    volts, lamp_volts, others = _readings(written.volts, rated, supply)
    ratio = _common(volts, computed)
    fed = line or nominal_volts
    if own_supply:
        fed = computed.string_volts if computed else None
    open_at = _open(volts, fed, string)
    tubes = tuple(_tube(t, v, computed, rated, ratio, open_at, string, words) for t, v in volts.items())
    tubes = tuple(_held_to(bands[at.tube], at) if bands and at.tube in bands else at for at in tubes)
    sound = bool(tubes) and all(_lies_in(bands, at) for at in tubes)
    total = math.fsum(volts.values()) if volts else None
    missing = tuple(r.tube for r in string.tubes if r.tube not in volts) if string else ()
    sums = _sums(string, computed, volts, missing, lamp_volts, _volts(written.dropper), fed, _volts(written.ntc))
    amps, computed_amps = si(written.current), computed.current_amps if computed else None
    off = sums.off if sums and open_at is None else None
    return MeasuredHeaters(
        line_volts=line or nominal_volts,
        fed_volts=fed,
        line_assumed=line is None,
        tubes=tubes,
        not_measured=missing,
        other_names=others,
        sum_volts=total,
        dropper_volts=sums.dropper if sums else _volts(written.dropper),
        dropper_computed=sums is not None and sums.dropper_computed,
        lamp_volts=lamp_volts,
        lamp_computed_volts=to_figures(computed.lamp_volts) if computed and lamp_volts is not None else None,
        adds_to_volts=sums.total if sums else None,
        off_line=off,
        off_line_volts=sums.total - sums.line if sums and off is not None else None,
        adds_up=abs(off) <= ADDS_UP if off is not None else None,
        of_computed=ratio,
        current_amps=amps,
        current_computed_amps=computed_amps,
        off_current=amps / computed_amps - 1 if amps and computed_amps else None,
        whole_string=of_whole_string(None if open_at or sound else ratio, words),
        sum_suggestion=of_sum(off, string is not None and string.dropper is not None, words),
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
    """How far the string as a whole was measured from what is computed: the median over the tubes that have volts."""
    if computed is None:
        return None
    ratios = [v / c for t, v in volts.items() if (at := computed.tubes.get(t)) and (c := at.volts) and v > DARK * c]
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
    words: Words,
) -> MeasuredTube:
    at = computed.tubes.get(tube) if computed else None
    expected, own = at.volts if at else None, rated.get(tube)
    off = volts / expected - 1 if expected else None
    share = None if off is None else (1 + off) / (ratio or 1) - 1 if ratio != 0 else off
    lamp = string is not None and string.lamp is not None and string.lamp.place == "tap" and string.lamp.at == tube
    verdict = _verdict(tube, volts, own, share, open_at)
    suggestion = of_tube(verdict, share, lamp, string is not None, words)
    return MeasuredTube(tube, volts, expected, own, volts / own if own else None, off, share, verdict, suggestion)


def _lies_in(bands: Mapping[str, tuple[float, float]] | None, at: MeasuredTube) -> bool:
    low, high = bands.get(at.tube, (math.inf, -math.inf)) if bands else (math.inf, -math.inf)
    return at.of_rated is not None and low <= at.of_rated <= high


def _held_to(band: tuple[float, float], at: MeasuredTube) -> MeasuredTube:
    """A battery filament as its own reading has it, where that lies in its band."""
    if at.verdict not in ("far off", "a little off") or not _lies_in({at.tube: band}, at):
        return at
    return replace(at, verdict="within its band", suggestion=None)


def read_in_band(
    measured: MeasuredHeaters | None,
    bands: Mapping[str, tuple[float, float]],
    at_measured: RunningLine | None,
    nominal: RunningLine | None,
) -> dict[str, float]:
    """The battery filaments that were measured within their band, with the share they then have at the nominal line.

    From the measured line to the nominal one they go as the computed ones do.
    """
    found = {}
    for at in measured.tubes if measured and at_measured and nominal else ():
        here, there = (line.tubes.get(at.tube) for line in (at_measured, nominal) if line)
        if at.of_rated and _lies_in(bands, at) and here and there and here.of_rated and there.of_rated:
            found[at.tube] = at.of_rated * there.of_rated / here.of_rated
    return found


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


def _sums(
    string: HeaterString | None,
    computed: RunningLine | None,
    volts: Mapping[str, float],
    missing: tuple[str, ...],
    lamp: float | None,
    dropper: float | None,
    line: float | None,
    ntc: float | None,
) -> _Sums | None:
    """Heaters, lamp, NTC and dropper against the line; None where a reading lacks that nothing can stand in for."""
    if string is None or not line or not volts or missing or not string.tubes:
        return None
    total = math.fsum(volts.values())
    if string.series_lamp or (string.lamp and string.lamp.place == "series"):
        lamp = lamp if lamp is not None else computed.lamp_volts if computed else None
        if lamp is None:
            return None
        total += lamp
    if string.thermistor:
        hot = computed.thermistor_volts if computed and ntc is None else ntc
        if hot is None:
            return None
        total += hot
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


def _unwritten(sums: _Sums | None, off: float | None, string: HeaterString | None, amps: float | None) -> float | None:
    """The resistance that would take up the missing volts, where the record has no dropper."""
    if sums is None or off is None or off >= -ADDS_UP or string is None or string.dropper is not None or not amps:
        return None
    return (sums.line - sums.total) / amps
