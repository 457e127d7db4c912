"""Battery filaments in series: whose cathode current flows through which filament, and the shunts that take it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.electrics.heaters import HeaterElement, root

__all__ = [
    "Filament",
    "FilamentCurrent",
    "MemberRunning",
    "SideBySide",
    "Span",
    "as_one",
    "running_members",
    "series_filaments",
]


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
class SideBySide:
    """Heaters in parallel as one member of a string, with a resistor of ``ohms`` across them or none."""

    heaters: tuple[HeaterElement, ...]
    ohms: float | None = None

    def __post_init__(self) -> None:
        if not self.heaters or (self.ohms is not None and not self.ohms > 0):
            raise ValueError(f"Heaters side by side need one at least, and a shunt above zero: {self}")

    @property
    def rated(self) -> HeaterElement:
        """The one heater they stand for: the lowest volts of them, and their currents added."""
        return HeaterElement(min(h.volts for h in self.heaters), math.fsum(h.amps for h in self.heaters))

    def volts_at(self, amps: float) -> float:
        """Volts across all of them when ``amps`` arrive. By Kirchhoff's current law."""
        if len(self.heaters) == 1 and self.ohms is None:
            return self.heaters[0].volts_at(amps)
        return root(lambda volts: self._amps_at(volts) - amps, self.rated.volts)

    def _amps_at(self, volts: float) -> float:
        return math.fsum(h.amps_at(volts) for h in self.heaters) + (volts / self.ohms if self.ohms else 0.0)


@dataclass(frozen=True, slots=True)
class MemberRunning:
    """One member of a string as it runs: its volts, the amperes that arrive, each filament's and its shunt's."""

    volts: float
    arriving_amps: float
    filament_amps: tuple[float, ...]
    shunt_amps: float


def as_one(member: Sequence[Filament]) -> Filament:
    """The filaments of one member as one: the lowest rated volts, rated and cathode currents added."""
    amps = math.fsum(f.amps for f in member)
    return Filament(min(f.volts for f in member), amps, math.fsum(f.cathode_amps for f in member))


@dataclass(frozen=True, slots=True)
class Span:
    """A resistor of ``ohms`` across the ``count`` members that follow each other from ``first`` on, counted from 0."""

    first: int
    count: int
    ohms: float

    def __post_init__(self) -> None:
        if self.first < 0 or self.count < 2 or not self.ohms > 0:
            raise ValueError(f"A span needs two members at least, and a resistance above zero: {self}")


def running_members(
    members: Sequence[Sequence[Filament]],
    shunts: Sequence[float | None],
    supply_volts: float,
    ohms: float = 0.0,
    spans: Sequence[Span] = (),
) -> tuple[float, tuple[MemberRunning, ...]]:
    """The supply's current in ampere, and each member as it runs, from A+ to B-; filaments of a member are in parallel.

    ``shunts`` are the resistors across the members in ohm, None where there is none, ``spans`` those across several,
    of which none may hold another's member; ``ohms`` stands between supply and string. A filament's law is that of a
    heater. Raises ``ValueError`` where the supply gives nothing.
    """
    begins = {span.first: span for span in spans}
    wired = [
        SideBySide(tuple(HeaterElement(f.volts, f.amps) for f in member), shunt)
        for member, shunt in zip(members, shunts, strict=True)
    ]

    def through(first: int, last: int, arriving: float) -> list[MemberRunning]:
        found = []
        for member, side_by_side in zip(members[first:last], wired[first:last], strict=True):
            volts = side_by_side.volts_at(arriving)
            taken = volts / side_by_side.ohms if side_by_side.ohms else 0.0
            found.append(MemberRunning(volts, arriving, tuple(h.amps_at(volts) for h in side_by_side.heaters), taken))
            arriving += math.fsum(f.cathode_amps for f in member)
        return found

    def beside(span: Span, arriving: float) -> list[MemberRunning]:
        """The members of a span, by Kirchhoff's current law where it begins."""
        last = span.first + span.count

        def excess(inside: float) -> float:
            volts = math.fsum(p.volts for p in through(span.first, last, inside))
            return inside + volts / span.ohms - arriving

        # With next to nothing arriving the cathodes inside would turn the first filament's current round.
        inside = root(excess, arriving) if excess(0.0) < 0 else 0.0
        return through(span.first, last, inside)

    def walk(supply: float) -> list[MemberRunning]:
        arriving, found = supply, list[MemberRunning]()
        while (at := len(found)) < len(members):
            span = begins.get(at)
            found += beside(span, arriving) if span else through(at, at + 1, arriving)
            arriving += math.fsum(f.cathode_amps for member in members[at : len(found)] for f in member)
        return found

    start = math.fsum(f.amps for f in members[0])
    supply = root(lambda amps: math.fsum(p.volts for p in walk(amps)) + ohms * amps - supply_volts, start)
    return supply, tuple(walk(supply))
