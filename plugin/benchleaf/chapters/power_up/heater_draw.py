"""What the heaters draw from the line at any line voltage, and how warm they are there."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...electrics.heaters import HEATER_CURRENT_EXPONENT
from ..heaters.running import run

if TYPE_CHECKING:
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from ..heaters.string import HeaterString


@dataclass(frozen=True, slots=True)
class HeaterDraw:
    """Amperes RMS of the line in phase with it and lagging (below zero where a series capacitor makes them lead).

    ``of_rated`` is the lowest share of rated volts that a tube is judged by: beyond the tap of one with a lamp there.
    """

    in_phase_amps: float
    lagging_amps: float
    of_rated: float


HeaterDrawAt = Callable[[float], HeaterDraw | None]
"""The draw at a line voltage; None where it cannot be known there."""


def heater_draw(bench: Bench, heaters: HeatersFindings | None) -> HeaterDrawAt | str:
    """What the heaters draw, or what the record would have to give, in half a sentence."""
    unknown = f"how the heaters are fed, and the type of each {bench.words.tube}"
    if heaters is None or heaters.line_volts is None:
        return unknown
    if heaters.filaments or heaters.feed.kind != "line":
        return "a set whose filaments hang on the line alone: what they take through the rectifier is not followed"
    if heaters.arrangement == "series":
        return _of_strings(heaters) or unknown
    if heaters.arrangement == "parallel" and bench.circuit.mains.wound:
        return _of_windings(heaters, bench) or unknown
    return unknown


def _of_strings(heaters: HeatersFindings) -> HeaterDrawAt | None:
    strings = [one.string for one in (heaters, heaters.second) if one and one.string]
    if any(_half_wave(string) for string in strings):
        return None
    line = heaters.line_volts or 0.0

    def at(line_volts: float) -> HeaterDraw | None:
        running = [run(string, line_volts, "") for string in strings]
        amps = [one.current_amps for one in running]
        tubes = [tube for one in running for tube in one.tubes.values()]
        shares = [tube.judged_of_rated for tube in tubes if tube.judged_of_rated is not None]
        if None in amps or not shares:
            return None
        in_phase = [a * _in_phase(one.capacitor_volts, line_volts) for a, one in zip(amps, running, strict=True) if a]
        leading = [a * (one.capacitor_volts or 0.0) / line_volts for a, one in zip(amps, running, strict=True) if a]
        return HeaterDraw(math.fsum(in_phase), -math.fsum(leading), min(shares))

    return at if strings and at(line) else None


def _half_wave(string: HeaterString) -> bool:
    """Whether a diode in series halves the string's wave, which then is no sine."""
    return string.dropper is not None and string.dropper.kind == "diode"


def _in_phase(capacitor_volts: float | None, line_volts: float) -> float:
    return math.sqrt(max(1.0 - ((capacitor_volts or 0.0) / line_volts) ** 2, 0.0))


def _of_windings(heaters: HeatersFindings, bench: Bench) -> HeaterDrawAt | None:
    """Windings follow the line; their heaters' watts, at the rating, are what the primary draws for them."""
    line = heaters.line_volts
    if not line or not heaters.ratings or not all(r.volts and r.amps for r in heaters.ratings):
        return None
    watts = math.fsum((r.volts or 0.0) * (r.amps or 0.0) for r in heaters.ratings)
    lamp = heaters.lamp
    if lamp and lamp.volts and lamp.amps:
        watts += lamp.volts * lamp.amps * lamp.count
    nominal = heaters.on_line
    shares = [t.of_rated for t in nominal.tubes.values() if t.of_rated] if nominal else []
    warmth = min(shares, default=1.0)

    def at(line_volts: float) -> HeaterDraw:
        share = warmth * line_volts / line
        return HeaterDraw(watts * warmth / line * share**HEATER_CURRENT_EXPONENT, 0.0, share)

    return at
