"""Switching on: the first rush of current, the heater that has the worst of it, and the way to the running state."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from ...circuit.heater_names import LAMP
from ...electrics.heaters import COLD_INRUSH_RATIO, HeaterElement, inrush_amps, pilot_lamp
from ...electrics.warm_up import (
    LAMP_COLD_RATIO,
    LAMP_SECONDS,
    WARM_UP_RANGE_SECONDS,
    WARM_UP_SECONDS,
    NtcResistor,
    Warming,
    WarmUp,
    first_share,
    warm_up,
)
from .running import cannot_run
from .string import HeaterString

SECONDS = 60.0
NEAR = 0.1
"""How near the current is to where it ends when the string counts as warm."""


@dataclass(frozen=True, slots=True)
class SwitchOn:
    """The nominal line on a cold string. Amperes are RMS in the first instant, at the lowest and the highest published
    cold resistance; ``worst_of_rated`` is what the heater with the highest cold resistance may then have, as a share of
    its rated volts. ``least_warm_seconds`` and ``warm_seconds`` are when the current stays within a tenth of what it
    ends at, with the shortest and the longest warm-up time taken for its heaters.
    """

    peak_amps: float
    least_peak_amps: float
    running_amps: float
    worst_tube: str
    worst_of_rated: float
    least_warm_seconds: float | None
    warm_seconds: float | None
    lamp_peak_volts: float | None = None
    with_thermistor_peak_amps: float | None = None
    with_thermistor_worst_of_rated: float | None = None
    with_thermistor_least_warm_seconds: float | None = None
    with_thermistor_warm_seconds: float | None = None
    seconds: tuple[float, ...] = field(default=(), metadata={"json": False})
    amps: tuple[float, ...] = field(default=(), metadata={"json": False})
    amps_with_thermistor: tuple[float, ...] = field(default=(), metadata={"json": False})


def switch_on(string: HeaterString, line: float, running_amps: float | None) -> SwitchOn | None:
    """The string from cold; None where it cannot be computed as it runs, or with a barretter in it."""
    bare = replace(string, thermistor=None)
    plain = from_cold(bare, line)
    if running_amps is None or plain is None:
        return None
    heaters, (supply, ohms, reactance) = _heaters(string), _fed(string, line)
    series = math.hypot(ohms, reactance)
    shares = [first_share(heaters, k, supply, series) for k in range(len(heaters))]
    worst = max(range(len(heaters)), key=lambda k: shares[k])
    slowed = from_cold(string, line) if string.thermistor else None
    quick, slow = _warm_range(bare, line)
    slowed_quick, slowed_slow = _warm_range(string, line) if slowed else (None, None)
    return SwitchOn(
        peak_amps=plain.amps[0],
        least_peak_amps=inrush_amps(heaters, supply, series, COLD_INRUSH_RATIO[0]),
        running_amps=running_amps,
        worst_tube=string.members[worst][0],
        worst_of_rated=shares[worst],
        least_warm_seconds=quick,
        warm_seconds=slow,
        lamp_peak_volts=max(plain.volts[-1]) if _lamps(string) else None,
        with_thermistor_peak_amps=slowed.peak_amps if slowed else None,
        with_thermistor_worst_of_rated=_peak_share(slowed, heaters) if slowed else None,
        with_thermistor_least_warm_seconds=slowed_quick,
        with_thermistor_warm_seconds=slowed_slow,
        seconds=plain.seconds,
        amps=plain.amps,
        amps_with_thermistor=_at(slowed, plain.seconds) if slowed else (),
    )


def from_cold(string: HeaterString, line: float, warm_up_seconds: float = WARM_UP_SECONDS) -> WarmUp | None:
    """The string as written from cold on ``line``, its heaters of this warm-up time and the lowest cold resistance.

    None where it is not known, or with a barretter in it.
    """
    if not string.known or cannot_run(string, string.frequency_hertz):
        return None
    if string.dropper and string.dropper.kind == "barretter":
        return None
    supply, ohms, reactance = _fed(string, line)
    members = [
        Warming(heater, seconds=warm_up_seconds, shunt_ohms=_shunt(string, names))
        for heater, names in zip(_heaters(string), string.members, strict=True)
    ]
    hot, amps = string.thermistor, string.current_amps
    slowing = NtcResistor(hot.cold_ohms, hot.hot_ohms, amps) if hot and amps else None
    length = SECONDS * 4 if slowing else SECONDS
    return warm_up([*members, *_lamps(string)], supply, ohms, slowing, reactance, length)


def _heaters(string: HeaterString) -> list[HeaterElement]:
    """The members of the string; heaters side by side count as one."""
    return [HeaterElement(r.volts, r.amps) for r in string.as_members if r.volts and r.amps]


def _fed(string: HeaterString, line: float) -> tuple[float, float, float]:
    """Volts RMS ahead of the string's resistance, and the ohms and the reactance in series with its heaters."""
    dropper = string.dropper
    supply, ohms, reactance = line, (dropper.ohms or 0.0) if dropper else 0.0, 0.0
    if dropper and dropper.kind == "diode" and not string.direct_current:
        supply = line / math.sqrt(2)
    if dropper and dropper.kind == "capacitor" and dropper.farads and string.frequency_hertz:
        reactance = 1 / (2 * math.pi * string.frequency_hertz * dropper.farads)
    return supply, ohms, reactance


def _warm_range(string: HeaterString, line: float) -> tuple[float | None, float | None]:
    """When the string is warm, with the shortest and the longest warm-up time of its heaters."""
    quick, slow = (from_cold(string, line, seconds) for seconds in WARM_UP_RANGE_SECONDS)
    return _warm(quick) if quick else None, _warm(slow) if slow else None


def _lamps(string: HeaterString) -> list[Warming]:
    lamp = string.series_lamp
    if lamp is None or not lamp.volts or not lamp.amps:
        return []
    bulb = pilot_lamp(lamp.volts * lamp.count, lamp.amps)
    return [Warming(bulb, LAMP_COLD_RATIO, LAMP_SECONDS, _shunt(string, (LAMP,)))]


def _shunt(string: HeaterString, names: tuple[str, ...]) -> float | None:
    """The shunt across this member alone; one across several is left out here."""
    return next((s.ohms for s in string.shunts if s.over == names and not s.tap), None)


def _peak_share(slowed: WarmUp, heaters: list[HeaterElement]) -> float:
    return max(max(volts) / h.volts for volts, h in zip(slowed.volts, heaters, strict=False))


def _warm(found: WarmUp) -> float | None:
    """From when on the current stays near to where it ends."""
    last, reached = found.amps[-1], None
    for second, amps in zip(found.seconds, found.amps, strict=True):
        near = abs(amps - last) <= NEAR * last
        reached = (second if reached is None else reached) if near else None
    return reached


def _at(found: WarmUp, seconds: tuple[float, ...]) -> tuple[float, ...]:
    """The current at other times, by straight lines between the points."""
    amps, k = [], 0
    for second in seconds:
        while k < len(found.seconds) - 2 and found.seconds[k + 1] < second:
            k += 1
        a, b = found.seconds[k], found.seconds[k + 1]
        amps.append(found.amps[k] + (found.amps[k + 1] - found.amps[k]) * (second - a) / (b - a))
    return tuple(amps)
