"""Sets solved by another tube law and another solver than the code's, with a fault put in.

Tubes: cathode current K d^n with n drawn from 1.35 to 1.55 (the code has 1.5), d smooth at cut-off, through a published
point of ``tubes/typical.csv``; the plate's share by an arc tangent (Koren 1996 has one in his pentode), where the code
has a straight knee. All of a set is one system of nodes, solved by MINPACK's hybrid method (scipy), where the code
bisects one stage at a time. Tubes, parts and readings are drawn about their nominal values, as real ones are.
"""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from benchleaf.tubes import find

if TYPE_CHECKING:
    from benchleaf.tubes import Typical

TRIODES = ("6AT6", "EABC80", "12SR7", "12SW7", "6J5", "6SQ7")
PENTODES = ("EF89", "EF41", "EBF89", "6SJ7", "EF86", "5879")
OUTPUTS = ("6V6GT", "EL84", "6AQ5", "6F6", "EL95")
GROUND, B1, B2 = "ground", "V5 cathode", "B+2"
OPEN, SHORT, INSULATION, AMPS_LEFT, STEPS = 1e6, 3.0, 2e9, 2e-9, 12


@dataclass(frozen=True)
class Tube:
    """A tube's law: ``mu`` from plate (triode) or screen to grid; volts, amperes."""

    mu: float
    k: float
    n: float
    v0: float
    share: float = 0.0
    knee: float = 8.0

    def currents(self, plate: float, screen: float | None, grid: float) -> tuple[float, float]:
        """Plate and screen current at volts above the cathode."""
        pull = plate if screen is None else screen
        drive = pull / self.mu + grid + self.v0
        width = 0.1
        smooth = drive if drive / width > 40 else width * math.log1p(math.exp(max(drive / width, -60)))
        total = self.k * smooth**self.n
        if screen is None:
            return total * (1 - math.exp(-max(plate, 0.0) / 0.5)), 0.0
        total *= 1 - math.exp(-max(screen, 0.0) / 1.0)
        to_plate = total * (1 - self.share) * 2 / math.pi * math.atan(_above_zero(plate) / self.knee)
        return to_plate, total - to_plate


def _above_zero(volts: float) -> float:
    """Volts, smoothly nothing below zero, so that no step stalls the solver."""
    return volts if volts > 40 else math.log1p(math.exp(max(volts, -60.0)))


@dataclass(frozen=True)
class Fault:
    """One fault: what it does to the set, and what may rightly be said of it, as tube or rail and fault or rule."""

    name: str
    right: frozenset[tuple[str, str]]
    ohms: Mapping[str, float] = field(default_factory=dict)
    across: Mapping[tuple[str, str], float] = field(default_factory=dict)
    into: Mapping[str, float] = field(default_factory=dict)
    emission: Mapping[str, float] = field(default_factory=dict)
    supply: float = 1.0


@dataclass(frozen=True)
class Built:
    """A set: its tubes, resistors between nodes, and the supply that feeds ``B1`` through ``source_ohms``."""

    types: Mapping[str, str]
    tubes: Mapping[str, Tube]
    resistors: Mapping[str, tuple[float, str, str]]
    volts: float
    source_ohms: float


def through_point(point: Typical, n: float) -> Tube:
    """A tube through a published point, by its gm and mu where they are printed."""
    plate, grid = point.plate_volts, point.grid_volts
    assert plate
    assert point.plate_amps
    pull = point.screen_volts or plate
    if grid is None or grid == 0:
        assert point.cathode_ohms
        grid = -point.cathode_ohms * (point.plate_amps + (point.screen_amps or 0.0))
    drive = n * point.plate_amps / point.gm_siemens if point.gm_siemens else 0.8 * abs(grid)
    mu = (
        point.mu
        if point.mu and pull / point.mu + grid < drive < pull / point.mu + grid + 2
        else pull / (drive - grid - 0.6)
    )
    v0 = drive - pull / mu - grid
    amps = point.plate_amps + (point.screen_amps or 0.0)
    share, knee = (point.screen_amps or 0.0) / amps, 8.0
    at_point = 2 / math.pi * math.atan(plate / knee)
    return Tube(mu, amps / drive**n, n, v0, 1 - (1 - share) / at_point if share else 0.0, knee)


def typical(type_: str) -> Typical:
    """The first published point that a set can be built about."""
    tube = find(type_)
    assert tube is not None
    biased = (point for point in tube.typical if point.plate_amps and (point.grid_volts or point.cathode_ohms))
    return next(point for point in biased if (point.plate_volts or 0) >= 200)


def build(rng: random.Random) -> Built:
    """A set as its maker meant it: an IF pentode V2, a triode V3 and an output tube V4 behind a rectifier V5."""
    types = {"V2": rng.choice(PENTODES), "V3": rng.choice(TRIODES), "V4": rng.choice(OUTPUTS), "V5": "5Y3GT"}
    points = {place: typical(type_) for place, type_ in types.items() if place != "V5"}
    n = rng.uniform(1.35, 1.55)
    tubes = {place: through_point(point, n) for place, point in points.items()}
    parts: dict[str, tuple[float, str, str]] = {}
    b2 = 250.0 + rng.uniform(-10, 10)

    def biased(place: str, name: str) -> float:
        point, tube = points[place], tubes[place]
        amps = point.plate_amps + (point.screen_amps or 0.0)
        bias = amps and (amps / tube.k) ** (1 / tube.n) - tube.v0 - (point.screen_volts or point.plate_volts) / tube.mu
        parts[name] = (-bias / amps, f"{place} cathode", GROUND)
        return float(amps)

    in_if, in_output = biased("V2", "R6"), biased("V4", "R8")
    parts["R3"] = ((b2 - points["V2"].screen_volts) / points["V2"].screen_amps, "V2 screen", B2)
    parts["T1"] = (20.0, "V2 plate", B2)
    load = rng.choice((100e3, 220e3) if tubes["V3"].mu > 35 else (47e3, 100e3))
    in_triode = b2 * rng.uniform(0.4, 0.6) / load
    plate = b2 - in_triode * load
    bias = plate / tubes["V3"].mu + tubes["V3"].v0 - (in_triode / tubes["V3"].k) ** (1 / tubes["V3"].n)
    parts["R5"], parts["R7"] = (load, "V3 plate", B2), (bias / in_triode, "V3 cathode", GROUND)
    parts["R1"], parts["R4"], parts["R10"] = (
        (1e6, "V2 grid", GROUND),
        (1e6, "V3 grid", GROUND),
        (470e3, "V4 grid", GROUND),
    )
    parts["T2"] = (rng.uniform(200, 400), "V4 plate", B1)
    parts["R99"] = (1.0, "V4 screen", B2)
    filtered = in_if + in_triode + (points["V4"].screen_amps or 0.0)
    parts["R9"] = (rng.uniform(1e3, 2.2e3), B1, B2)
    first = b2 + filtered * parts["R9"][0]
    source = rng.uniform(150, 400)
    return Built(types, tubes, parts, first + source * (in_output + filtered), source)


def spread(built: Built, rng: random.Random) -> Built:
    """The set as one came off the line and aged: parts within a tenth, tubes within an eighth of their values."""

    def near(share: float) -> float:
        return 1 + rng.uniform(-share, share)

    tubes = {
        place: replace(tube, k=tube.k * near(0.12), mu=tube.mu * near(0.05), v0=tube.v0 + rng.uniform(-0.1, 0.1))
        for place, tube in built.tubes.items()
    }
    parts = {name: (ohms * near(0.1), *ends) for name, (ohms, *ends) in built.resistors.items()}
    return replace(built, tubes=tubes, resistors=parts)


def solve(built: Built, fault: Fault, start: Mapping[str, float] | None = None) -> dict[str, float]:
    """The direct voltages of all nodes above the bottom of the supply; a large change in steps where one fails."""
    found = _solve(built, fault, start)
    steps = iter(range(1, STEPS + 1))
    while found is None and (step := next(steps, None)):
        partly = {name: factor ** (step / STEPS) for name, factor in fault.ohms.items()}
        # Without a solution to start from, the supply is turned up as it were.
        supply = fault.supply if fault.ohms else fault.supply * step / STEPS
        start = _solve(built, replace(fault, ohms=partly, supply=supply), start) or start
        found = _solve(built, fault, start)
    if found is None:
        raise ArithmeticError(f"no solution with {fault.name}")
    return found


def _solve(built: Built, fault: Fault, start: Mapping[str, float] | None) -> dict[str, float] | None:
    from scipy.optimize import root

    elements = [(fault.ohms.get(name, 1.0) * ohms, a, b) for name, (ohms, a, b) in built.resistors.items()]
    elements += [(ohms, a, b) for (a, b), ohms in fault.across.items()]
    elements += [(INSULATION, node, GROUND) for node in {end for _, *ends in elements for end in ends} - {GROUND}]
    supply = built.volts * fault.supply
    source = built.source_ohms * fault.ohms.get("source", 1.0)
    nodes = sorted({node for _, *ends in elements for node in ends if node != GROUND})

    def sums(values: Sequence[float]) -> list[float]:
        at = dict(zip(nodes, map(float, values), strict=True)) | {GROUND: 0.0}
        into = dict.fromkeys(at, 0.0)
        into[B1] += (supply - at[B1]) / source
        for ohms, a, b in elements:
            amps = (at[a] - at[b]) / ohms
            into[a] -= amps
            into[b] += amps
        for node, amps in fault.into.items():
            into[node] += amps
        for place, tube in built.tubes.items():
            cathode, screen = at[f"{place} cathode"], at.get(f"{place} screen")
            plate_amps, screen_amps = tube.currents(
                at[f"{place} plate"] - cathode,
                None if screen is None else screen - cathode,
                at[f"{place} grid"] - cathode,
            )
            emission = fault.emission.get(place, 1.0)
            grid_amps = 0.05 / 1e3 * math.log1p(math.exp(min((at[f"{place} grid"] - cathode + 0.3) / 0.05, 500)))
            into[f"{place} plate"] -= emission * plate_amps
            into[f"{place} grid"] -= grid_amps
            if screen is not None:
                into[f"{place} screen"] -= emission * screen_amps
            into[f"{place} cathode"] += emission * (plate_amps + screen_amps) + grid_amps
        return [into[node] * 1e6 for node in nodes]

    fallback = {node: _guess(node, supply) for node in nodes}
    for begin in (start or fallback, fallback, dict.fromkeys(nodes, 1.0)):
        for method in ("hybr", "lm"):
            found = root(sums, [begin.get(node, 1.0) for node in nodes], method=method)
            if max(map(abs, found.fun)) < AMPS_LEFT * 1e6:
                return dict(zip(nodes, map(float, found.x), strict=True))
    return None


def _guess(node: str, supply: float) -> float:
    if node in (B1, B2):
        return 0.9 * supply
    return {"cathode": 3.0, "grid": 0.0, "screen": 0.4 * supply, "plate": 0.6 * supply}[node.split()[-1]]
