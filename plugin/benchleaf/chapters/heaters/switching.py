"""Switching on: the first rush of current, the heater that has the worst of it, and the way to the running state."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from ...circuit.heater_names import LAMP
from ...electrics.heaters import COLD_INRUSH_RATIO, Heater, inrush_amps, pilot_lamp
from ...electrics.warm_up import LAMP_COLD_RATIO, LAMP_SECONDS, Thermistor, Warming, WarmUp, first_share, warm_up
from .string import HeaterString

SECONDS = 60.0
NEAR = 0.1
"""How near the current is to where it ends when the string counts as warm."""


@dataclass(frozen=True, slots=True)
class SwitchOn:
    """The nominal line on a cold string. Amperes are RMS in the first instant, at the lowest and the highest published
    cold resistance; ``worst_of_rated`` is what the heater with the highest cold resistance may then have, as a share of
    its rated volts. ``warm_seconds`` is when the current stays within a tenth of what it ends at.
    """

    peak_amps: float
    least_peak_amps: float
    running_amps: float
    worst_tube: str
    worst_of_rated: float
    warm_seconds: float | None
    lamp_peak_volts: float | None = None
    with_thermistor_peak_amps: float | None = None
    with_thermistor_worst_of_rated: float | None = None
    with_thermistor_warm_seconds: float | None = None
    seconds: tuple[float, ...] = field(default=(), metadata={"json": False})
    amps: tuple[float, ...] = field(default=(), metadata={"json": False})
    amps_with_thermistor: tuple[float, ...] = field(default=(), metadata={"json": False})


def switch_on(string: HeaterString, line: float, running_amps: float | None) -> SwitchOn | None:
    """The string from cold; None where it cannot be computed as it runs, or with a barretter or a group in it."""
    dropper = string.dropper
    if running_amps is None or not string.known or string.groups or (dropper and dropper.kind == "barretter"):
        return None
    heaters = [Heater(r.volts, r.amps) for r in string.tubes if r.volts and r.amps]
    supply, ohms, reactance = line, (dropper.ohms or 0.0) if dropper else 0.0, 0.0
    if dropper and dropper.kind == "diode" and not string.direct_current:
        supply = line / math.sqrt(2)
    if dropper and dropper.kind == "capacitor" and dropper.farads and string.frequency_hertz:
        reactance = 1 / (2 * math.pi * string.frequency_hertz * dropper.farads)
    series = math.hypot(ohms, reactance)
    lamps = _lamps(string)
    pieces = [Warming(h, shunt_ohms=_shunt(string, r.tube)) for h, r in zip(heaters, string.tubes, strict=True)] + lamps
    plain = warm_up(pieces, supply, ohms, None, reactance, SECONDS)
    shares = [first_share(heaters, k, supply, series) for k in range(len(heaters))]
    worst = max(range(len(heaters)), key=lambda k: shares[k])
    hot = string.thermistor
    slowed = None
    if hot:
        thermistor = Thermistor(hot.cold_ohms, hot.hot_ohms, string.current_amps or running_amps)
        slowed = warm_up(pieces, supply, ohms, thermistor, reactance, SECONDS * 4)
    return SwitchOn(
        peak_amps=plain.amps[0],
        least_peak_amps=inrush_amps(heaters, supply, series, COLD_INRUSH_RATIO[0]),
        running_amps=running_amps,
        worst_tube=string.tubes[worst].tube,
        worst_of_rated=shares[worst],
        warm_seconds=_warm(plain),
        lamp_peak_volts=max(plain.volts[-1]) if lamps else None,
        with_thermistor_peak_amps=slowed.peak_amps if slowed else None,
        with_thermistor_worst_of_rated=_peak_share(slowed, heaters) if slowed else None,
        with_thermistor_warm_seconds=_warm(slowed) if slowed else None,
        seconds=plain.seconds,
        amps=plain.amps,
        amps_with_thermistor=_at(slowed, plain.seconds) if slowed else (),
    )


def _lamps(string: HeaterString) -> list[Warming]:
    lamp = string.series_lamp
    if lamp is None or not lamp.volts or not lamp.amps:
        return []
    bulb = pilot_lamp(lamp.volts * lamp.count, lamp.amps)
    return [Warming(bulb, LAMP_COLD_RATIO, LAMP_SECONDS, _shunt(string, LAMP))]


def _shunt(string: HeaterString, name: str) -> float | None:
    """The shunt across this piece alone; one across several heaters is left out here."""
    return next((s.ohms for s in string.shunts if s.over == (name,) and not s.tap), None)


def _peak_share(slowed: WarmUp, heaters: list[Heater]) -> float:
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
