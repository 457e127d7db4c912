"""What could take up the rest of the line in this set: each candidate with its value, its heat and how it fails."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ...electrics.droppers import behind_half_wave_diode, dropper_for, rating_for, series_capacitor_for
from ...electrics.heaters import COLD_INRUSH_RATIO
from .running import RunningLine, run
from .string import FittedDropper, HeaterString

PREFERRED_SERIES = "E24"
FOOT_METRES = 0.3048
CORD_METRES = 6 * FOOT_METRES
"""Length of a cord where none is written. Common practice, no source."""

ALTERNATING_RATINGS = (250.0, 275.0, 310.0, 400.0, 440.0)
"""Volts AC that film capacitors for use on the line are rated for. Common practice, no source."""

REVERSE_RATINGS = (400.0, 600.0, 800.0, 1000.0)
"""Reverse volts of small silicon diodes (1N4004 to 1N4007). Common practice, no source."""


@dataclass(frozen=True, slots=True)
class WantedDropper:
    """The resistor that would leave the heaters their rating, the next preferred value above it, and its rating.

    ``capacitor_farads`` would do the same on alternating current of the given frequency. ``low_ohms`` and ``high_ohms``
    are its ends where cathode currents in a string of filaments are not known.
    """

    ohms: float
    watts: float
    preferred_ohms: float
    rating_watts: float
    preferred_series: str = PREFERRED_SERIES
    capacitor_farads: float | None = None
    capacitor_frequency_hertz: float | None = None
    low_ohms: float | None = None
    high_ohms: float | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """One candidate. ``lowest`` and ``highest`` are shares of rated volts at the nominal line with the value to fit.

    ``inrush_amps`` is the crest at switching on, heaters cold. ``fails`` is ``open`` (all dark) or ``shorted``, with
    the highest share the heaters then have. ``not_here`` says why it cannot serve: ``DC``, ``too much`` or empty.
    """

    kind: str
    fitted: bool
    ohms: float | None = None
    farads: float | None = None
    to_fit_ohms: float | None = None
    to_fit_farads: float | None = None
    heat_watts: float | None = None
    rating_watts: float | None = None
    rating_volts: float | None = None
    lowest_of_rated: float | None = None
    highest_of_rated: float | None = None
    inrush_amps: float | None = None
    fails: str = "open"
    failed_highest_of_rated: float | None = None
    not_here: str = ""
    ohms_per_foot: float | None = None
    foot_shorter_highest_of_rated: float | None = None


def wanted_dropper(line: float | None, total: float | None, lamp: float, string: HeaterString) -> WantedDropper | None:
    """The resistor for the string at its common current; None where the heaters ask for all of the line or more."""
    from ...electrics.preferred import next_above

    amps = string.current_amps
    if line is None or total is None or amps is None:
        return None
    needed = dropper_for(line, total + lamp, amps)
    if needed is None:
        return None
    frequency = None if string.direct_current else string.frequency_hertz
    capacitor = series_capacitor_for(line, total + lamp, amps, frequency) if frequency else None
    return WantedDropper(
        ohms=needed.ohms,
        watts=needed.watts,
        preferred_ohms=next_above(needed.ohms, PREFERRED_SERIES),
        rating_watts=rating_for(needed.watts),
        capacitor_farads=capacitor.farads if capacitor else None,
        capacitor_frequency_hertz=frequency if capacitor else None,
    )


def choices(string: HeaterString, line: float, high: float, total: float, wanted: WantedDropper) -> tuple[Choice, ...]:
    """All candidates for ``string`` on ``line``, whose heaters (and series lamp) ask for ``total`` volts.

    A resistance cord and a ballast are made for the set that has them: they are candidates in no other.
    """
    fitted = string.dropper.kind if string.dropper else ""
    bare = replace(string, dropper=None)
    found = [_resistor("resistor", bare, line, wanted, wanted.preferred_ohms, fitted == "resistor")]
    if fitted == "resistance cord":
        found.append(_cord(string, bare, line, wanted))
    if fitted == "ballast":
        found.append(_resistor("ballast", bare, line, wanted, wanted.ohms, is_fitted=True))
    found.append(_capacitor(bare, line, high, wanted, fitted))
    return (*found, *_diode(string, bare, line, high, total))


def _shares(line: RunningLine) -> tuple[float | None, float | None]:
    shares = [t.judged_of_rated for t in line.tubes.values() if t.judged_of_rated is not None]
    return min(shares, default=None), max(shares, default=None)


def _cold_ohms(string: HeaterString) -> float:
    return math.fsum(r.volts / r.amps for r in string.tubes if r.volts and r.amps) / COLD_INRUSH_RATIO[1]


def _crest(string: HeaterString, line: float, ohms: float) -> float:
    """The crest of the current at switching on, every heater at the lowest published cold resistance."""
    peak = line if string.direct_current else line * math.sqrt(2)
    hot = string.thermistor.cold_ohms if string.thermistor else 0.0
    return peak / (_cold_ohms(string) + ohms + hot)


def _with(string: HeaterString, dropper: FittedDropper, line: float) -> RunningLine:
    return run(replace(string, dropper=dropper), line, "")


def _resistor(
    kind: str, bare: HeaterString, line: float, wanted: WantedDropper, to_fit: float, is_fitted: bool
) -> Choice:
    running = _with(bare, FittedDropper("resistor", to_fit), line)
    low, high = _shares(running)
    return Choice(
        kind=kind,
        fitted=is_fitted,
        ohms=wanted.ohms,
        to_fit_ohms=to_fit,
        heat_watts=running.dropper_watts,
        rating_watts=rating_for(running.dropper_watts or wanted.watts),
        lowest_of_rated=low,
        highest_of_rated=high,
        inrush_amps=_crest(bare, line, to_fit),
    )


def _cord(string: HeaterString, bare: HeaterString, line: float, wanted: WantedDropper) -> Choice:
    """A cord is made to measure; its fault besides a break is its resistance wire touching the other lead."""
    fitted = string.dropper if string.dropper and string.dropper.kind == "resistance cord" else None
    length = fitted.length_metres if fitted and fitted.length_metres else CORD_METRES
    ohms = fitted.ohms if fitted and fitted.ohms else wanted.ohms
    per_foot = ohms / (length / FOOT_METRES)
    shorter = _with(bare, FittedDropper("resistor", max(ohms - per_foot, 0.0)), line)
    return replace(
        _resistor("resistance cord", bare, line, wanted, wanted.ohms, fitted is not None),
        rating_watts=None,
        ohms_per_foot=per_foot,
        foot_shorter_highest_of_rated=_shares(shorter)[1],
    )


def _capacitor(bare: HeaterString, line: float, high: float, wanted: WantedDropper, fitted: str) -> Choice:
    from ...electrics.preferred import nearest

    is_fitted = fitted == "capacitor"
    if bare.direct_current:
        return Choice("capacitor", is_fitted, not_here="DC")
    if wanted.capacitor_farads is None:
        return Choice("capacitor", is_fitted, not_here="frequency")
    to_fit = nearest(wanted.capacitor_farads, "E12")
    low, highest = _shares(_with(bare, FittedDropper("capacitor", None, to_fit), line))
    return Choice(
        kind="capacitor",
        fitted=is_fitted,
        farads=wanted.capacitor_farads,
        to_fit_farads=to_fit,
        heat_watts=0.0,
        rating_volts=next((v for v in ALTERNATING_RATINGS if v >= high), None),
        lowest_of_rated=low,
        highest_of_rated=highest,
        inrush_amps=_crest(bare, line, 0.0),
        fails="shorted",
        failed_highest_of_rated=_shares(run(bare, line, ""))[1],
    )


def _diode(string: HeaterString, bare: HeaterString, line: float, high: float, total: float) -> tuple[Choice, ...]:
    """A diode alone, and with the resistor that takes what it leaves over."""
    fitted = string.dropper if string.dropper and string.dropper.kind == "diode" else None
    if bare.direct_current:
        return (Choice("diode", fitted is not None, not_here="DC", fails="shorted"),)
    left = behind_half_wave_diode(line).rms_volts - total
    reverse = next((v for v in REVERSE_RATINGS if v >= 2 * math.sqrt(2) * high), REVERSE_RATINGS[-1])
    alone = _diode_with(bare, line, 0.0, reverse, "diode", fitted is not None and not fitted.ohms)
    if left <= 0 or not bare.current_amps:
        return (replace(alone, fitted=fitted is not None),)
    from ...electrics.preferred import next_above

    ohms = left / bare.current_amps
    to_fit = next_above(ohms, PREFERRED_SERIES)
    both = _diode_with(bare, line, to_fit, reverse, "diode and resistor", fitted is not None and bool(fitted.ohms))
    return alone, replace(both, ohms=ohms, to_fit_ohms=to_fit)


def _diode_with(bare: HeaterString, line: float, ohms: float, reverse: float, kind: str, is_fitted: bool) -> Choice:
    running = _with(bare, FittedDropper("diode", ohms or None), line)
    low, high = _shares(running)
    shorted = _with(bare, FittedDropper("resistor", ohms), line)
    heat = running.dropper_watts or 0.0
    return Choice(
        kind=kind,
        fitted=is_fitted,
        heat_watts=heat,
        rating_watts=rating_for(heat) if heat else None,
        rating_volts=reverse,
        lowest_of_rated=low,
        highest_of_rated=high,
        inrush_amps=_crest(bare, line, ohms),
        fails="shorted",
        failed_highest_of_rated=_shares(shorted)[1],
    )
