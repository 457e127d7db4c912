"""Amplifying stages with a fault put in: a leak, an open or shorted part, gas, grid volts, a tube that is worn.

A leak makes another supply with another resistor of what feeds an electrode (Thevenin's theorem), and what moves a grid
that draws no current moves the drive by as much; so a faulted stage is one more `DcStage`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import NamedTuple

from benchleaf.electrics.dc_stage import DcStage, calibrated
from benchleaf.electrics.loading import in_parallel


class SoundStage(NamedTuple):
    """A stage with the volts that it is calibrated to, and the ohms of its grid leak."""

    stage: DcStage
    grid_ohms: float
    plate: float
    screen: float | None
    cathode: float

    def calibrated(self) -> DcStage:
        found = calibrated(self.stage, self.plate, self.screen, self.cathode, 0.5)
        assert found is not None
        return found


STAGES = {
    "triode": SoundStage(DcStage(120, 100e3, 1.2e3), 470e3, 45.0, None, 0.9),
    "output": SoundStage(DcStage(118, 300, 150, screen_supply_volts=90, screen_ohms=1), 470e3, 107.0, 89.995, 5.6),
    "pentode": SoundStage(DcStage(120, 50, 300, screen_supply_volts=120, screen_ohms=33e3), 1e6, 119.7, 80.0, 2.2),
    "contact": SoundStage(DcStage(120, 220e3, 0), 1e6, 50.0, None, 0.0),
}
FAULTS: dict[str, dict[str, float]] = {
    "leaky coupling": {"coupling volts": 60, "coupling ohms": 5e6},
    "gas": {"gas amps": 5e-6},
    "grid up": {"grid volts": 4.0},
    "bias more": {"grid volts": -1.5},
    "bias lost": {"offset": 0.0},
    "open load": {"load": math.inf},
    "no feed": {"load": math.inf, "screen feed": math.inf},
    "plate short": {"plate leak": 50},
    "plate leak": {"plate leak": 100e3},
    "load high": {"load times": 2},
    "load low": {"load times": 0.5},
    "cathode short": {"cathode leak": 1e-9},
    "cathode low": {"cathode times": 0.4},
    "cathode leak": {"cathode leak": 100},
    "cathode high": {"cathode times": 3},
    "cathode open": {"cathode": 1e7},
    "cathode lifted": {"cathode": 2e3},
    "screen open": {"screen feed": math.inf},
    "screen short": {"screen leak": 50},
    "screen leak": {"screen leak": 40e3},
    "screen high": {"screen times": 2},
    "screen low": {"screen times": 0.3},
    "weak": {"perveance times": 0.35},
    "no emission": {"perveance times": 0.0001},
}


def faulted(sound: DcStage, grid_ohms: float, fault: str) -> DcStage:
    """The stage with one fault."""
    told = FAULTS[fault]
    supply, load = _fed(
        sound.supply_volts, told.get("load", sound.load_ohms * told.get("load times", 1)), told, "plate"
    )
    found = replace(
        sound,
        supply_volts=supply,
        load_ohms=load,
        cathode_ohms=_cathode(sound, told),
        perveance=sound.perveance * told.get("perveance times", 1),
        offset_volts=told.get("offset", sound.offset_volts) - _grid_volts(grid_ohms, told),
    )
    if sound.screen_supply_volts is None:
        return found
    ohms = told.get("screen feed", sound.screen_ohms * told.get("screen times", 1))
    screen, behind = _fed(sound.screen_supply_volts, ohms, told, "screen")
    return replace(found, screen_supply_volts=screen, screen_ohms=behind)


def _fed(volts: float, ohms: float, told: dict[str, float], electrode: str) -> tuple[float, float]:
    """What is behind an electrode with a leak from it to the bottom; next to nothing through an open part."""
    leak = told.get(f"{electrode} leak")
    if math.isinf(ohms):
        return 0.0, leak or 1e9
    return (volts, ohms) if leak is None else (volts * leak / (ohms + leak), in_parallel(ohms, leak))


def _cathode(sound: DcStage, told: dict[str, float]) -> float:
    ohms = told.get("cathode", sound.cathode_ohms * told.get("cathode times", 1))
    return in_parallel(ohms, told["cathode leak"]) if "cathode leak" in told else ohms


def _grid_volts(grid_ohms: float, told: dict[str, float]) -> float:
    """Millman's theorem: the volts at the foot of the leak, those through a coupling capacitor, and gas."""
    coupling = told.get("coupling ohms", math.inf)
    amps = (
        told.get("grid volts", 0.0) / grid_ohms + told.get("coupling volts", 0.0) / coupling + told.get("gas amps", 0.0)
    )
    return amps / (1 / grid_ohms + 1 / coupling)
