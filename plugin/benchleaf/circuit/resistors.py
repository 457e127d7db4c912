"""The resistors that lie between two places of a set, and the currents in them where both voltages are known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ..words import AMERICAN, Words
from .in_place import InPlace, When
from .places import Place
from .warm_field import at_work

if TYPE_CHECKING:
    from .network import Network

BESIDE_THE_POINT = 20
"""A resistor with one end unknown that is so many times as large takes 5 % of the current at most, and is left out."""


@dataclass(frozen=True, slots=True)
class ResistorInPlace:
    """A resistor in place when a run was taken. ``how`` is ``measured``, ``nominal`` or ``from the sheet``.

    ``ends`` are the two points it lies between, ``said`` its ends as the page names them.
    """

    part: str
    ohms: float
    how: str
    ends: tuple[Place, Place]
    said: tuple[str, str]
    nominal_ohms: float | None = None
    remark: str = ""
    tolerance: float | None = None
    bound: str = ""

    def other(self, point: Place) -> Place:
        return self.ends[1] if self.ends[0] == point else self.ends[0]

    def said_at(self, point: Place) -> str:
        """How the page names the end that lies on a point."""
        return self.said[0] if self.ends[0] == point else self.said[1]


@dataclass(frozen=True, slots=True)
class Through:
    """The current from one end of a resistor to the other, in amperes, with the volts and ohms it follows from."""

    part: str
    ohms: float
    ohms_how: str
    from_volts: float
    to_volts: float
    from_place: str
    to_place: str
    amps: float
    remark: str = ""
    from_node: Place = field(default=Place("", ""), metadata={"json": False})
    to_node: Place = field(default=Place("", ""), metadata={"json": False})

    def reversed(self) -> Through:
        """The same current seen from the other end."""
        return replace(
            self,
            from_volts=self.to_volts,
            to_volts=self.from_volts,
            from_place=self.to_place,
            to_place=self.from_place,
            from_node=self.to_node,
            to_node=self.from_node,
            amps=-self.amps,
        )

    @property
    def watts(self) -> float:
        """What the resistor turns into heat."""
        return (self.from_volts - self.to_volts) ** 2 / self.ohms


def resistors(network: Network, when: When, words: Words = AMERICAN) -> Iterator[ResistorInPlace]:
    """Every resistor or winding of the set that lies between two points, with the resistance it had at a time.

    ``words`` are those of the dialect in which their ends are named.
    """
    for element in network.elements:
        inside, piece = at_work(element.listed, when), element.listed.piece
        known = _ohms(inside)
        if network.same(*element.ends) or inside.kind != "resistor" or not inside.is_there or known is None:
            continue
        one, other = element.ends
        said = one.name(words), other.name(words)
        ends = network.point(one), network.point(other)
        sheet = piece.sheet.value if piece.sheet and piece.sheet.unit == "ohm" else None
        off = max(-inside.tolerance.low, inside.tolerance.high) if inside.tolerance else None
        how = "nominal" if inside.how in ("marked", "assumed") else inside.how
        nominal = sheet or inside.nominal
        yield ResistorInPlace(element.name, known[0], how, ends, said, nominal, inside.remark, off, known[1])


def _ohms(inside: InPlace) -> tuple[float, str] | None:
    """Ohms and, where they are no number, the bound they are; None where nothing is known of them."""
    if inside.condition == "open":
        return math.inf, "at least"
    if inside.condition == "shorted":
        return 0.0, "at most"
    if inside.value:
        return inside.value, ""
    if inside.low is not None and inside.value is None:
        return inside.low, "at least"
    return None


def into(
    at: Place, parts: Iterable[ResistorInPlace], volts: Mapping[Place, float], network: Network
) -> tuple[Through, ...] | None:
    """The currents that flow into an electrode's point through its resistors; None where they cannot all be known."""
    point = network.point(at)
    touching = [r for r in parts if point in r.ends]
    known = [r for r in touching if not r.bound and r.other(point) in volts and point in volts]
    if not known or not point.tube:
        return None
    least = min(r.ohms for r in known)
    if any(r.ohms < BESIDE_THE_POINT * least for r in touching if r not in known):
        return None
    return tuple(through(r, r.other(point), volts) for r in known)


def through(resistor: ResistorInPlace, start: Place, volts: Mapping[Place, float]) -> Through:
    """The current from ``start`` through a resistor whose ends are both known."""
    end = resistor.other(start)
    amps = (volts[start] - volts[end]) / resistor.ohms
    return Through(
        resistor.part,
        resistor.ohms,
        resistor.how,
        volts[start],
        volts[end],
        resistor.said_at(start),
        resistor.said_at(end),
        amps,
        resistor.remark,
        start,
        end,
    )
