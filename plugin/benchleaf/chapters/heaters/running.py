"""The heater string as it runs at a line voltage."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from ...circuit.heater_names import LAMP
from ...electrics import heaters as physics
from ...electrics.barretters import Barretter, behind_barretter
from ...electrics.bridges import Bridged
from ...electrics.filaments import SideBySide
from .rated import Rating
from .string import HeaterString

DRAIN_WITH_LAMP_AMPS = 0.060
"""B+ current assumed behind a tapped rectifier: the most a 35W4 or 35Z5GT may give with the lamp on its tap and no
shunt (60 mA: wereboar.com, article on the dial lamp of 2024; the tube table has the same figure from memory)."""

RMS_OF_DRAIN = 2.0
"""RMS of a half-wave rectifier's current into a capacitor over the direct current. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class TubeRunning:
    """One tube at one line voltage. ``judged_of_rated`` is the share it is judged by: without a lamp's tap section.

    ``low_of_rated`` and ``high_of_rated`` are what it may be, where cathode currents in the string are not known.
    """

    volts: float | None
    rated_volts: float | None
    of_rated: float | None
    judged_of_rated: float | None = None
    current_of_rated: float | None = None
    low_of_rated: float | None = None
    high_of_rated: float | None = None


@dataclass(frozen=True, slots=True)
class RunningLine:
    """The heaters at one line voltage; ``which`` says why it is listed: low, nominal, high, measured."""

    line_volts: float
    current_amps: float | None
    tubes: Mapping[str, TubeRunning]
    which: str = ""
    string_volts: float | None = None
    dropper_volts: float | None = None
    dropper_watts: float | None = None
    capacitor_volts: float | None = None
    lamp_volts: float | None = None
    lamp_amps: float | None = None
    tap_section_amps: float | None = None
    heat_watts: float | None = None
    shunt_amps: Mapping[str, float] = field(default_factory=dict)
    shunt_watts: Mapping[str, float] = field(default_factory=dict)
    thermistor_volts: float | None = None


def tap_heating_amps(string_amps: float, drain_amps: float, direct_current: bool) -> float:
    """What the plate's current adds to the heating current of the tap, in ampere RMS.

    On direct current the two simply add. On alternating current the plate draws pulses at the crests, in phase with the
    string's sine: with an RMS value of ``RMS_OF_DRAIN`` times the direct current (a pulse a quarter of a cycle wide)
    total^2 = I^2 + 2 I sqrt 2 Id k + (2 Id)^2, k = sin(45 deg)/(pi/4) being the mean of the crest under the pulse.
    """
    if direct_current:
        return drain_amps
    half = math.pi / RMS_OF_DRAIN**2
    shared = math.sqrt(2) * drain_amps * math.sin(half) / half
    total = math.sqrt(string_amps**2 + 2 * string_amps * shared + (RMS_OF_DRAIN * drain_amps) ** 2)
    return total - string_amps


def run(
    string: HeaterString,
    line_volts: float,
    which: str,
    *,
    frequency_hertz: float | None = None,
    drain_amps: float = DRAIN_WITH_LAMP_AMPS,
) -> RunningLine:
    """The string at ``line_volts``; volts and current are None where they cannot be known."""
    frequency = frequency_hertz or string.frequency_hertz
    if not string.known or cannot_run(string, frequency):
        return _unknown(string, line_volts, which)
    members = _members(string)
    try:
        running = _solved(string, members, line_volts, frequency, drain_amps)
    except (ValueError, OverflowError, ZeroDivisionError):
        return _unknown(string, line_volts, which)
    return _told(string, members, running, line_volts, which) if running else _unknown(string, line_volts, which)


def _unknown(string: HeaterString, line_volts: float, which: str) -> RunningLine:
    return RunningLine(line_volts, None, {r.tube: TubeRunning(None, r.volts, None) for r in string.tubes}, which)


_Members = dict[tuple[str, ...], "physics.HeaterElement | Bridged | SideBySide"]
"""Each member of the string by the names of what is in it."""


def _members(string: HeaterString) -> _Members:
    """Heaters and lamp as they follow each other; what has something across it is one member."""
    heaters = {r.tube: physics.HeaterElement(r.volts, r.amps) for r in string.tubes if r.volts and r.amps}
    series, across = string.series_lamp, string.across
    if series and series.volts and series.amps:
        heaters[LAMP] = physics.pilot_lamp(series.volts * series.count, series.amps)
    members: _Members = {}
    for names in string.members:
        if len(names) > 1:
            lamps = [_across(string)] if across and across.at in names else []
            abreast = [*(heaters.pop(n) for n in names), *(lamp for lamp in lamps if lamp)]
            ohms = next((s.ohms for s in string.shunts if not s.tap and set(names) <= set(s.over)), None)
            members[names] = SideBySide(tuple(abreast), ohms)
    for shunt in string.shunts:
        if not shunt.tap and all(t in heaters for t in shunt.over):
            lamp = _across(string) if across and shunt.over == (across.at,) else None
            members[shunt.over] = Bridged(tuple(heaters.pop(t) for t in shunt.over), shunt.ohms, lamp)
    for name, heater in heaters.items():
        lamp = _across(string) if across and across.at == name else None
        members[(name,)] = Bridged((heater,), None, lamp) if lamp else heater
    return members


def _across(string: HeaterString) -> physics.HeaterElement | None:
    lamp = string.across
    if lamp is None or string.lamp_out or lamp.volts is None or lamp.amps is None:
        return None
    return physics.pilot_lamp(lamp.volts, lamp.amps * lamp.count)


def _solved(
    string: HeaterString, members: _Members, line_volts: float, frequency: float | None, drain_amps: float
) -> physics.Running | None:
    """The physics of it, or None where it cannot be."""
    dropper = string.dropper
    if dropper and dropper.kind == "barretter":
        return _behind_barretter(string, members, line_volts)
    shared = _shared_volts(string)
    ohms = (dropper.ohms or 0.0) if dropper else 0.0
    hot = string.thermistor.hot_ohms if string.thermistor else 0.0
    running = physics.running_string(
        list(members.values()),
        line_volts - shared,
        ohms + hot,
        tap=_tap(string, members, drain_amps),
        capacitor_farads=dropper.farads if dropper and dropper.kind == "capacitor" else None,
        frequency_hz=frequency or 0.0,
        half_wave=dropper is not None and dropper.kind == "diode" and not string.direct_current,
    )
    amps = running.current_amps
    heat = ohms * amps**2 + _shared_heat(string, amps)
    return replace(running, dropper_volts=ohms * amps + shared, dropper_watts=heat)


def _behind_barretter(string: HeaterString, members: _Members, line_volts: float) -> physics.Running | None:
    """At the current the barretter holds; None where it is outside its range and holds nothing."""
    fitted = string.dropper
    if fitted is None or not (fitted.holds_amps and fitted.low_volts is not None and fitted.high_volts):
        return None
    hot = string.thermistor.hot_ohms if string.thermistor else 0.0
    tube = Barretter(fitted.holds_amps, fitted.low_volts, fitted.high_volts)
    held = behind_barretter(list(members.values()), line_volts - hot * tube.amps, tube)
    if not held.regulating:
        return None
    return physics.Running(
        line_volts, line_volts, held.amps, held.heater_volts, held.barretter_volts, held.barretter_watts, 0.0
    )


def _shared_volts(string: HeaterString) -> float:
    """What the rectifier's current drops in the shared part, in step with the string: a direct current, or the
    fundamental of its pulses."""
    dropper = string.dropper
    if dropper is None or not dropper.shared_ohms or not dropper.drain_amps:
        return 0.0
    return dropper.shared_ohms * (dropper.drain_amps * (1.0 if string.direct_current else _crest()))


def _shared_heat(string: HeaterString, amps: float) -> float:
    """Watts that the rectifier's current adds in the shared part of the dropper."""
    dropper = string.dropper
    if dropper is None or not dropper.shared_ohms or not dropper.drain_amps:
        return 0.0
    total = amps + tap_heating_amps(amps, dropper.drain_amps, string.direct_current)
    return dropper.shared_ohms * (total**2 - amps**2)


def _crest() -> float:
    """Amperes RMS of the fundamental of the rectifier's pulses for each direct ampere, in phase with the line."""
    half = math.pi / RMS_OF_DRAIN**2
    return math.sqrt(2) * math.sin(half) / half


def _tap(string: HeaterString, members: _Members, drain_amps: float) -> physics.HeaterTap | None:
    """Tap, lamp and shunt; where the lamp is elsewhere or unknown, a shunt across the tap alone."""
    shunt = next((s for s in string.shunts if s.tap), None)
    whole = string.tapped or next((r for r in string.tubes if shunt and shunt.over == (r.tube,)), None)
    lamp = string.lamp if string.tapped else None
    if whole is None or not (whole.volts and whole.amps and whole.tap_volts) or (whole.tube,) not in members:
        return None
    lit = lamp if lamp and not string.lamp_out else None
    bulb = physics.pilot_lamp(lit.volts, lit.amps * lit.count) if lit and lit.volts and lit.amps else None
    added = tap_heating_amps(whole.amps, drain_amps, string.direct_current) if drain_amps else 0.0
    index = list(members).index((whole.tube,))
    ohms = shunt.ohms if shunt and shunt.over == (whole.tube,) else None
    return physics.HeaterTap(index, whole.tap_volts / whole.volts, bulb, added, ohms)


def _told(
    string: HeaterString, members: _Members, running: physics.Running, line_volts: float, which: str
) -> RunningLine:
    """The solution by tubes, lamp and shunts."""
    amps, tap = running.current_amps, running.tap
    volts: dict[str, float] = {}
    shunted: dict[str, float] = {}
    watts: dict[str, float] = {}
    lamp_amps: float | None = None
    for (names, member), across in zip(members.items(), running.heater_volts, strict=True):
        inside = member.running(amps) if isinstance(member, Bridged) else None
        volts.update(zip(names, inside.heater_volts if inside else (across,) * len(names), strict=True))
        if isinstance(member, SideBySide) and member.ohms:
            name = next(s.name for s in string.shunts if s.over == names)
            shunted[name], watts[name] = across / member.ohms, across**2 / member.ohms
        if isinstance(member, SideBySide) and len(member.heaters) > len(names):
            lamp_amps = member.heaters[-1].amps_at(across)
        if inside and isinstance(member, Bridged) and member.ohms:
            name = next(s.name for s in string.shunts if s.over == names and not s.tap)
            shunted[name], watts[name] = inside.shunt_amps, inside.shunt_amps * across
        lamp_amps = inside.lamp_amps if inside and inside.lamp_amps else lamp_amps
        lamp_amps = (inside.heater_amps if inside else amps) if names == (LAMP,) else lamp_amps
    at = string.across.at if string.across else LAMP
    for shunt in string.shunts:
        if shunt.tap and tap:
            shunted[shunt.name], watts[shunt.name] = tap.volts / shunt.ohms, tap.volts**2 / shunt.ohms
    dropper, hot = string.dropper, string.thermistor
    lit = tap if tap and string.tapped else None
    return RunningLine(
        line_volts=line_volts,
        current_amps=amps,
        tubes={r.tube: _running(r, volts[r.tube], amps, _rest(string, r, tap)) for r in string.tubes},
        which=which,
        string_volts=running.string_volts,
        dropper_volts=running.dropper_volts if dropper else None,
        dropper_watts=running.dropper_watts if dropper else None,
        capacitor_volts=running.capacitor_volts or None,
        lamp_volts=lit.volts if lit else volts.get(at) if string.series_lamp or string.across else None,
        lamp_amps=lit.lamp_amps if lit else lamp_amps,
        tap_section_amps=tap.section_amps if tap else None,
        heat_watts=running.string_volts * amps,
        shunt_amps=shunted,
        shunt_watts=watts,
        thermistor_volts=hot.hot_ohms * amps if hot else None,
    )


def _rest(string: HeaterString, one: Rating, tap: physics.TapRunning | None) -> float | None:
    bridged = {t for s in string.shunts if s.tap for t in s.over}
    return tap.rest_volts if tap and (one is string.tapped or one.tube in bridged) else None


def _running(one: Rating, volts: float, amps: float, rest_volts: float | None) -> TubeRunning:
    """One tube's share; ``rest_volts`` is what the heater beyond a lamp's tap has, by which its rectifier is judged."""
    if one.volts is None or one.amps is None:
        return TubeRunning(volts, one.volts, None)
    judged = volts / one.volts if rest_volts is None else rest_volts / (one.volts - (one.tap_volts or 0))
    own = physics.HeaterElement(one.volts, one.amps).amps_at(volts) if rest_volts is None else amps
    return TubeRunning(volts, one.volts, volts / one.volts, judged, own / one.amps)


def cannot_run(string: HeaterString, frequency: float | None) -> str:
    """Why the string cannot be computed as it runs, in a word or two; empty where it can."""
    dropper = string.dropper
    if string.lamp and string.lamp.place == "series" and string.lamp.volts is None:
        return "lamp"
    if dropper is None:
        return ""
    if dropper.kind in ("resistor", "resistance cord", "ballast") and dropper.ohms is None:
        return "dropper"
    if dropper.kind == "barretter" and None in (dropper.holds_amps, dropper.low_volts, dropper.high_volts):
        return "barretter"
    if dropper.kind == "capacitor":
        if string.direct_current:
            return "capacitor on DC"
        if dropper.farads is None:
            return "capacitor"
        if not frequency:
            return "frequency"
    return ""
