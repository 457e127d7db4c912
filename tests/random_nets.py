"""Networks as sets have them, drawn at random: usual parts about tubes of the table, and the faults they get."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from benchleaf.electrics.dc_elements import (
    DcBranch,
    DcNet,
    DcVariant,
    Deviations,
    HeldNode,
    RectifierInNet,
    TubeInNet,
)
from benchleaf.electrics.reservoir import Charging
from benchleaf.electrics.tube_law import PublishedPoint, TubeLaw, converter, oscillator_triode, through_point
from benchleaf.tubes import find

TRIODES = ("6AT6", "12AX7", "6SQ7", "6J5", "12AU7")
PENTODES = ("EF89", "EF86", "6SJ7", "6BA6", "6SK7", "6V6GT", "EL84", "6AQ5")
SPREAD = Deviations(0.15, 0.06, 0.18, 0.3, 0.2)
AGED = 0.058


@cache
def laws(types: tuple[str, ...]) -> tuple[TubeLaw, ...]:
    """The laws of the first published point that can be used of each type."""
    found = []
    for type_ in types:
        tube = find(type_)
        assert tube is not None
        for point in tube.typical:
            try:
                found.append(through_point(published(point)))
            except (TypeError, ValueError):
                continue
            break
    return tuple(found)


def published(point: object) -> PublishedPoint:
    """A table's point in the law's own terms."""
    names = PublishedPoint.__dataclass_fields__
    return PublishedPoint(**{name: getattr(point, name) for name in names})


def drawn(rng: random.Random) -> DcNet:
    """A set: two to five stages behind a supply, each coupled to the one before or not."""
    nodes = iter(range(1, 100))
    branches: list[DcBranch] = []
    tubes: list[TubeInNet] = []

    def part(name: str, one: int, other: int, *ohms: float) -> None:
        branches.append(DcBranch(name, (one, other), rng.choice(ohms) * rng.uniform(0.8, 1.3), AGED))

    b1, b2 = next(nodes), next(nodes)
    part("Rf", b1, b2, 500.0, 1e3, 2.2e3, 10e3)
    branches.append(DcBranch("Cf", (b2, 0), 1e8))
    before = 0
    for number in range(rng.randint(2, 5)):
        plate, grid, cathode = next(nodes), next(nodes), next(nodes)
        pentode = rng.random() < 0.6
        law = rng.choice(laws(PENTODES if pentode else TRIODES))
        law = replace(law, perveance=law.perveance * rng.uniform(0.6, 1.3), mu=law.mu * rng.uniform(0.9, 1.1))
        screen = None
        strong = law.perveance > 4e-4
        if pentode:
            screen = next(nodes)
            part(f"Rs{number}", b2, screen, *((100.0, 1e3) if strong else (33e3, 100e3, 470e3)))
        load = (20.0, 300.0) if pentode and rng.random() < 0.7 else (47e3, 100e3, 220e3)
        part(f"Rl{number}", rng.choice((b1, b2)), plate, *load)
        part(f"Rg{number}", grid, 0, 470e3, 1e6, 10e6)
        part(f"Rk{number}", cathode, 0, *((150.0, 270.0) if strong else (180.0, 1e3, 2.7e3)))
        if before:
            if rng.random() < 0.1:
                part(f"Rd{number}", before, grid, 1e3, 1e6)
            else:
                branches.append(DcBranch(f"C{number}", (before, grid), 1e11))
        before = plate
        tubes.append(TubeInNet(f"V{number}", law, plate, cathode, grid, screen, SPREAD))
    if rng.random() < 0.5:
        plate, screen = next(nodes), next(nodes)
        part("Rx", b2, screen, 10e3, 22e3)
        part("Rp", b2, plate, 20.0)
        tubes.append(TubeInNet("Vx", converter(3e-3, 8e-3, 100.0, 250.0), plate, 0, None, screen, SPREAD))
        if rng.random() < 0.5:
            plate = next(nodes)
            part("Ro", b2, plate, 22e3, 47e3)
            tubes.append(TubeInNet("Vo", oscillator_triode(4e-3, 100.0), plate, 0, None, None, SPREAD))
    if rng.random() < 0.3:
        return DcNet(next(nodes), tuple(branches), tuple(tubes), held=(HeldNode("B+", b1, rng.uniform(90, 350), 0.02),))
    charging = Charging(rng.choice((1, 2)), rng.uniform(150, 500), rng.uniform(30, 300), 5e-4 * rng.uniform(0.5, 4))
    if rng.random() < 0.2:
        charging = replace(charging, perveance=None, drop_volts=1.0)
    supply = (RectifierInNet("V9", charging, b1, 0, 0.2, 0.4, 0.03),)
    return DcNet(next(nodes), tuple(branches), tuple(tubes), rectifiers=supply)


def faulty(net: DcNet, rng: random.Random, count: int) -> Iterator[DcVariant]:
    """Faults as sets have them, drawn at random."""
    for _ in range(count):
        branch, tube = rng.choice(net.branches), rng.choice(net.tubes)
        grids = [t for t in net.tubes if t.grid]
        match rng.randrange(7):
            case 0:
                factor = rng.choice((0.6, 1.35, 1.7, 2.5, 5.0, 1e5))
                yield DcVariant("ohms", ohms=((branch.name, branch.ohms * factor),))
            case 1:
                yield DcVariant("short", added=(DcBranch("fault", branch.ends, rng.choice((3.0, 2e5, 5e6))),))
            case 2:
                yield DcVariant("weak", emission=((tube.name, rng.choice((0.65, 0.4, 1e-3))),))
            case 3 if grids:
                yield DcVariant("gas", grid_amps=((rng.choice(grids).name, rng.choice((1.5e-6, 5e-6, 15e-6))),))
            case 4:
                yield DcVariant("heater", added=(DcBranch("fault", (tube.cathode, 0), 2e3, volts=-20.0),))
            case 5 if net.rectifiers:
                rectifier = net.rectifiers[0]
                k = rectifier.charging.perveance
                weak = replace(rectifier.charging, perveance=k and k * rng.choice((0.35, 0.12, 1e-5)))
                yield DcVariant("rectifier", charging=((rectifier.name, weak),))
            case _:
                yield DcVariant("sound")
