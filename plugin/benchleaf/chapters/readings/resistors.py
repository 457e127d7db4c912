"""The resistors of the parts list that lie between two places whose voltage a run knows, and the currents in them."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.places import Place
from ...record.sections.parts import Component
from .judging import single
from .places import RAIL
from .reference_point import reference
from .runs import Readings

if TYPE_CHECKING:
    from ...circuit.elements import Element
    from ...circuit.network import Network
    from ..bench import Bench

BESIDE_THE_POINT = 20
"""A resistor with one end unknown that is so many times as large takes 5 % of the current at most, and is left out."""

_BIDDEN = ("open", "shorted")


@dataclass(frozen=True, slots=True)
class Resistor:
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
        return abs((self.from_volts - self.to_volts) * self.amps)


def resistors(bench: Bench, date: datetime.date | None) -> tuple[Resistor, ...]:
    """Every resistor or winding of the set that lies between two points, with the resistance it had on ``date``."""
    network = bench.circuit.network
    found = []
    for element in network.elements:
        value = None if network.same(*element.ends) else _value(element, date)
        if value:
            ohms, how, nominal, remark = value
            one, other = element.ends
            said = one.name(bench.dialect), other.name(bench.dialect)
            ends = network.point(one), network.point(other)
            found.append(Resistor(element.name, ohms, how, ends, said, nominal, remark, _tolerance(element)))
    return tuple(found)


def _value(element: Element, date: datetime.date | None) -> tuple[float, str, float | None, str] | None:
    """Ohms, how they are known, nominal ohms, and what was assumed: the new part holds from the day it was fitted."""
    if element.added and date is not None and element.fitted is not None and date < element.fitted:
        return None
    new, old, sheet = (_resistor(c) for c in (element.now, element.was, element.sheet))
    in_place, remark = new or old, ""
    if new and old:
        if date is None or element.fitted is None:
            remark = "the record does not say which came first, the reading or the new part; the new part is assumed"
        elif date < element.fitted:
            in_place = old
    nominal = _ohms(sheet, "value") or _ohms(in_place, "value")
    if in_place is None:
        return (nominal, "from the sheet", nominal, "") if nominal else None
    if in_place.condition in _BIDDEN:
        return None
    if measured := _ohms(in_place, "measured"):
        return measured, "measured", nominal, remark
    value = _ohms(in_place, "value")
    return (value, "nominal", nominal, remark) if value else None


def _tolerance(element: Element) -> float | None:
    """The tolerance that a resistor is marked with, new before old; None where none is written."""
    for component in (_resistor(element.now), _resistor(element.was), _resistor(element.sheet)):
        if component and component.tolerance and component.tolerance.si:
            return float(abs(component.tolerance.si))
    return None


def _ohms(component: Component | None, name: str) -> float | None:
    """A component's nominal or measured resistance in ohms; None for none, and for anything but a number above zero."""
    quantity = getattr(component, name, None)
    return quantity.si if quantity and quantity.unit == "ohm" and quantity.si else None


def _resistor(components: Iterable[Component]) -> Component | None:
    return next((component for component in components if component.kind == "resistor"), None)


def voltages(run: Readings, network: Network) -> dict[Place, float]:
    """The DC voltage of each place a run knows: read there or at a place joined to it, and 0 at its reference.

    A rail's own reading holds for the point before those of the electrodes that are joined to it.
    """
    known: dict[Place, float] = {}
    for value in sorted(run.values, key=lambda value: value.spot.kind != RAIL):
        volts = single(value.quantity)
        if value.spot.current == "DC" and not value.spot.pin and volts is not None:
            known.setdefault(network.point(value.spot.place), volts)
    known[network.point(reference(network, run))] = 0.0
    return {place: volts for point, volts in known.items() for place in network.joined_to(point)}


def into(
    at: Place, parts: Iterable[Resistor], volts: Mapping[Place, float], network: Network
) -> tuple[Through, ...] | None:
    """The currents that flow into an electrode's point through its resistors; None where they cannot all be known."""
    point = network.point(at)
    touching = [r for r in parts if point in r.ends]
    known = [r for r in touching if r.other(point) in volts and point in volts]
    if not known or not point.tube:
        return None
    least = min(r.ohms for r in known)
    if any(r.ohms < BESIDE_THE_POINT * least for r in touching if r not in known):
        return None
    return tuple(through(r, r.other(point), volts) for r in known)


def through(resistor: Resistor, start: Place, volts: Mapping[Place, float]) -> Through:
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
