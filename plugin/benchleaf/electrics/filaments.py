"""Battery filaments in series: whose cathode current flows through which filament, and the shunts that take it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.electrics.heaters import Heater, Shunted, root

__all__ = ["Filament", "FilamentCurrent", "FilamentRunning", "running_filaments", "series_filaments"]


@dataclass(frozen=True, slots=True)
class Filament:
    """A battery tube's filament, rated ``volts`` at ``amps``; ``cathode_amps`` is its plate and screen current."""

    volts: float
    amps: float
    cathode_amps: float = 0.0

    def __post_init__(self) -> None:
        if not (0 < self.volts < math.inf and 0 < self.amps < math.inf and 0 <= self.cathode_amps < math.inf):
            raise ValueError(f"A filament needs volts and amperes above zero, and a cathode current: {self}")


@dataclass(frozen=True, slots=True)
class FilamentCurrent:
    """One filament of a string: what flows past it with the supply at ``supply_amps``.

    ``arriving_amps`` is the supply's current and the cathode currents of all tubes nearer A+. ``excess_amps`` is what
    is over the rating (negative: it is short), ``shunt_ohms`` the resistor across this filament that takes the excess
    at rated volts, ``None`` where there is none to take.
    """

    arriving_amps: float
    excess_amps: float
    shunt_ohms: float | None


def series_filaments(filaments: Sequence[Filament], supply_amps: float) -> tuple[FilamentCurrent, ...]:
    """Currents of filaments in series, given from A+ to B-, with ``supply_amps`` from the A supply.

    The current of each tube's plate and screen returns to B- through the filaments between it and B- (receiving tube
    manuals, "Filament and heater power supply"). Its own filament carries part of it too; that part is left out here.
    """
    results = []
    arriving = supply_amps
    for filament in filaments:
        excess = arriving - filament.amps
        shunt = filament.volts / excess if excess > 1e-9 * filament.amps else None
        results.append(FilamentCurrent(arriving, excess, shunt))
        arriving += filament.cathode_amps
    return tuple(results)


@dataclass(frozen=True, slots=True)
class FilamentRunning:
    """One filament as it runs: volts across it, amperes through it, and through the shunt across it."""

    volts: float
    amps: float
    shunt_amps: float


def running_filaments(
    filaments: Sequence[Filament], shunts: Sequence[float | None], supply_volts: float, ohms: float = 0.0
) -> tuple[float, tuple[FilamentRunning, ...]]:
    """The supply's current in ampere, and each filament as it runs, given from A+ to B-.

    ``shunts`` are the resistors across the single filaments in ohm, None where there is none; ``ohms`` stands between
    supply and string. A filament's law is that of a heater. Raises ``ValueError`` where the supply gives nothing.
    """
    heaters = [Heater(f.volts, f.amps) for f in filaments]

    def walk(supply: float) -> list[FilamentRunning]:
        arriving, found = supply, []
        for filament, heater, shunt in zip(filaments, heaters, shunts, strict=True):
            if shunt is None:
                found.append(FilamentRunning(heater.volts_at(arriving), arriving, 0.0))
            else:
                volts = Shunted(heater, shunt).volts_at(arriving)
                found.append(FilamentRunning(volts, heater.amps_at(volts), volts / shunt))
            arriving += filament.cathode_amps
        return found

    supply = root(lambda amps: math.fsum(f.volts for f in walk(amps)) + ohms * amps - supply_volts, filaments[0].amps)
    return supply, tuple(walk(supply))
