"""Sets with their heaters in series, straight from the line, solved as ``injected_sets`` does; their records.

Their supply is the time domain's (``steady_state``), taken as a source with a resistance about the current they draw.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping

from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.steady_state import solve as in_time
from benchleaf.tubes import Typical, find
from injected_faults import Known, faults, record
from injected_sets import B1, B2, GROUND, TRIODES, Built, Fault, through_point

PENTODES, OUTPUTS, RECTIFIERS = ("12SJ7", "6SJ7", "6AU6"), ("35L6GT", "50L6GT", "50C5", "35C5"), ("35W4", "35Z5GT")
LINE, RESERVOIR_FARADS = 117.0, 40e-6
DRAWN_WHEN_DRY_AMPS = 0.03
"""What such a set still draws then."""

DRIED_OUT = "reservoir dried out"


def _point(type_: str) -> Typical:
    tube = find(type_)
    assert tube is not None
    return next(p for p in tube.typical if p.plate_amps and p.plate_volts and (p.grid_volts or p.cathode_ohms))


def build(rng: random.Random) -> Built:
    """A set as its maker meant it: V2, V3 and V4 behind a half-wave rectifier V5 on the line."""
    types = {"V2": rng.choice(PENTODES), "V3": rng.choice(TRIODES), "V4": rng.choice(OUTPUTS)}
    n = rng.uniform(1.35, 1.55)
    tubes = {place: through_point(_point(type_), n) for place, type_ in types.items()}
    b2 = rng.uniform(88, 98)
    parts: dict[str, tuple[float, str, str]] = {"T1": (20.0, "V2 plate", B2), "R99": (1.0, "V4 screen", B2)}

    def biased(place: str, name: str, pull: float, share: float) -> float:
        tube = tubes[place]
        bias = share * pull / tube.mu
        amps = tube.k * (pull / tube.mu + tube.v0 - bias) ** tube.n
        parts[name] = (bias / amps, f"{place} cathode", GROUND)
        return float(amps)

    screen = 0.7 * b2
    in_if, in_output = biased("V2", "R6", screen, 0.4), biased("V4", "R8", b2, rng.uniform(0.45, 0.55))
    parts["R3"] = ((b2 - screen) / (in_if * tubes["V2"].share), "V2 screen", B2)
    load = rng.choice((220e3, 470e3) if tubes["V3"].mu > 35 else (47e3, 100e3))
    in_triode = 0.5 * b2 / load
    bias = 0.5 * b2 / tubes["V3"].mu + tubes["V3"].v0 - (in_triode / tubes["V3"].k) ** (1 / tubes["V3"].n)
    parts["R5"], parts["R7"] = (load, "V3 plate", B2), (max(bias, 0.3) / in_triode, "V3 cathode", GROUND)
    for name, place, ohms in (("R1", "V2", 1e6), ("R4", "V3", 1e6), ("R10", "V4", 470e3)):
        parts[name] = (ohms, f"{place} grid", GROUND)
    parts["T2"] = (rng.uniform(150, 300), "V4 plate", B1)
    filtered = in_if + in_triode + in_output * tubes["V4"].share
    total = in_if + in_triode + in_output
    volts, source = behind(rng.uniform(0.9, 1.1), RESERVOIR_FARADS, total)
    parts["R9"] = ((volts - source * total - b2) / filtered, B1, B2)
    return Built(types | {"V5": rng.choice(RECTIFIERS)}, tubes, parts, volts, source)


def behind(emission: float, farads: float, amps: float) -> tuple[float, float]:
    """The source and resistance that a rectifier on the line and its reservoir are about a current."""

    def mean(drawn: float) -> float:
        supply = Supply("half-wave", math.sqrt(2) * LINE, 60.0, 30.0, Rectifier.tube(19.0, 0.2 * emission))
        return in_time(supply, Filter((FilterTap(farads, load_amps=drawn),))).mean_volts[0]

    high, low = mean(0.7 * amps), mean(amps)
    source = (high - low) / (0.3 * amps)
    return low + source * amps, source


def faults_of(built: Built, rng: random.Random) -> tuple[Fault, ...]:
    """Every fault of the other sets, and a first filter capacitor with a sixth of its capacitance left."""
    volts, source = behind(1.0, RESERVOIR_FARADS / 6, DRAWN_WHEN_DRY_AMPS)
    dried = Fault(DRIED_OUT, frozenset(), ohms={"source": source / built.source_ohms}, supply=volts / built.volts)
    return (*faults(built, rng), dried)


def record_of(
    built: Built, real: Built, fault: Fault, sheet: Mapping[str, float], read: Mapping[str, float], known: Known
) -> str:
    """The record of such a set; the line was not read."""
    text = record(built, real, fault, sheet, read, known)
    text = text.replace("line: 120 V\npower: transformer", "line: 117 V 60 Hz\npower: series string")
    text = text.replace("  sheet:\n", "  sheet:\n    line: 117 V\n")
    capacitors = (
        f"  C12: 40 uF 150 V electrolytic, between {B1} and B-\n  C13: 20 uF 150 V electrolytic, between {B2} and B-\n"
    )
    return text + capacitors if known.parts else text
