"""The string in other states: lamp out or of another type, a heater shorted, a shunt that would put it right."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from ...electrics.bridges import shunt_for
from ...electrics.droppers import rating_for
from ...tubes import Tube, lamp
from .rated import RatedLamp, Rating, same
from .running import RunningLine, run
from .string import HeaterString

OTHER_LAMPS = ("47", "44", "51")
"""Lamps of 6.3 V a restorer is likely to find in the holder: 0.15, 0.25 and 0.2 A."""


@dataclass(frozen=True, slots=True)
class LampCase:
    """The lamp at the nominal line in one case; ``section_of_rated`` is the tap section's current over its rating."""

    lamp: str
    fitted: bool
    drain: bool
    lamp_volts: float | None
    lamp_of_rated: float | None
    section_amps: float | None
    section_of_rated: float | None
    heater_of_rated: float | None


@dataclass(frozen=True, slots=True)
class ShortedHeater:
    """One heater shorted: what the others then run at, and the string's current."""

    tube: str
    lowest_of_rated: float | None
    highest_of_rated: float | None
    current_amps: float | None


@dataclass(frozen=True, slots=True)
class WantedShunt:
    """The resistor across ``over`` that would let a mixed string run at its ratings."""

    over: tuple[str, ...]
    ohms: float
    preferred_ohms: float
    watts: float
    rating_watts: float


@dataclass(frozen=True, slots=True)
class DiodeRectifier:
    """A silicon or selenium diode in a rectifier tube's place: the heater volts gone, and the resistor for them."""

    tube: str
    volts: float
    amps: float
    ohms: float
    preferred_ohms: float
    watts: float
    rating_watts: float


def lamp_cases(string: HeaterString, line: float, drain_amps: float) -> tuple[LampCase, ...]:
    """As fitted with and without B+ current, out, and with the other lamps of its voltage."""
    own = string.lamp
    at = string.tapped or next((r for r in string.tubes if string.across and r.tube == string.across.at), None)
    if own is None or own.volts is None or (at is None and string.series_lamp is None):
        return ()
    found = [_case(own.label, True, True, string, at, run(string, line, "", drain_amps=drain_amps))]
    if string.tapped:
        found.append(_case(own.label, True, False, string, at, run(string, line, "", drain_amps=0)))
    if at is not None:
        out = replace(string, lamp_out=True)
        found.append(_case("", False, True, out, at, run(out, line, "", drain_amps=drain_amps)))
    for other in _others(own):
        with_it = replace(string, lamp=other)
        found.append(_case(other.label, False, True, with_it, at, run(with_it, line, "", drain_amps=drain_amps)))
    return tuple(found)


def _others(own: RatedLamp) -> Iterator[RatedLamp]:
    for number in OTHER_LAMPS if own.volts and abs(own.volts - 6.3) < 0.5 else ():
        known = lamp(number)
        if known and not same(known.amps, own.amps):
            yield replace(own, label=number, volts=known.volts, amps=known.amps, source=known.source.title)


def _case(
    label: str, fitted: bool, drain: bool, string: HeaterString, at: Rating | None, line: RunningLine
) -> LampCase:
    rated = (
        string.lamp.volts * (string.lamp.count if string.series_lamp else 1)
        if string.lamp and string.lamp.volts
        else None
    )
    volts = None if string.lamp_out else line.lamp_volts
    section = line.tap_section_amps
    running = line.tubes.get(at.tube) if at else None
    return LampCase(
        lamp=label,
        fitted=fitted,
        drain=drain,
        lamp_volts=volts,
        lamp_of_rated=volts / rated if volts is not None and rated else None,
        section_amps=section,
        section_of_rated=section / at.amps if section is not None and at and at.amps else None,
        heater_of_rated=running.of_rated if running and not string.tapped else None,
    )


def shorted_heaters(string: HeaterString, line: float) -> tuple[ShortedHeater, ...]:
    """Each heater shorted in turn; nothing for a string of one."""
    if not string.known or len(string.tubes) < 2:
        return ()
    found = []
    for gone in string.tubes if len(string.members) > 1 else ():
        rest = replace(
            string,
            tubes=tuple(r for r in string.tubes if r.tube not in string.beside(gone.tube)),
            shunts=tuple(s for s in string.shunts if gone.tube not in s.over),
        )
        at = run(rest, line, "")
        shares = [t.judged_of_rated for t in at.tubes.values() if t.judged_of_rated is not None]
        if shares:
            found.append(ShortedHeater(gone.tube, min(shares), max(shares), at.current_amps))
    return tuple(found)


def wanted_shunts(string: HeaterString) -> tuple[WantedShunt, ...]:
    """For tubes of a lower current a shunt each; for one of a higher current a shunt across all the others."""
    highest = max((r.amps for r in string.tubes if r.amps), default=None)
    if not string.mixed or highest is None or not string.known or string.groups:
        return ()
    bridged = {t for s in string.shunts for t in s.over}
    low = [r for r in string.tubes if r.amps and not same(r.amps, highest) and r.tube not in bridged]
    alike = len({r.amps for r in low}) == 1 and len(low) > 1 and len(low) + 1 == len(string.tubes)
    groups = [low] if alike else [[r] for r in low]
    return tuple(found for group in groups if (found := _shunt(group, highest)))


def _shunt(group: list[Rating], string_amps: float) -> WantedShunt | None:
    from ...electrics.preferred import nearest

    volts = math.fsum(r.volts or 0.0 for r in group)
    ohms = shunt_for(volts, group[0].amps or 0.0, string_amps)
    if ohms is None:
        return None
    watts = volts**2 / ohms
    return WantedShunt(tuple(r.tube for r in group), ohms, nearest(ohms, "E24"), watts, rating_for(watts))


def diode_rectifier(tube: Tube | None) -> DiodeRectifier | None:
    """What is missing from the string when a diode stands in place of the rectifier ``tube``."""
    from ...electrics.preferred import nearest

    if tube is None:
        return None
    volts, amps = tube.heater.volts, tube.heater.amps
    ohms, watts = volts / amps, volts * amps
    return DiodeRectifier(tube.type, volts, amps, ohms, nearest(ohms, "E24"), watts, rating_for(watts))
