"""The resistors of the parts list that lie between two places whose voltage a run knows, and the currents in them."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.grounding import reference_group
from ...record.sections.parts import Component, Part, PartSection, node_name
from .judging import single
from .places import RAIL, Spot, spots
from .runs import Readings, dialect_of

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...record.model import Record
    from ..bench import Bench

BESIDE_THE_POINT = 20
"""A resistor with one end unknown that is so many times as large takes 5 % of the current at most, and is left out."""

_BIDDEN = ("open", "shorted")


@dataclass(frozen=True, slots=True)
class Node:
    """An end of a part: a tube's electrode (``tube`` and ``key``), or a rail by its name."""

    tube: str
    key: str
    written: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistor in place when a run was taken. ``how`` is ``measured``, ``nominal`` or ``from the sheet``."""

    part: str
    ohms: float
    how: str
    ends: tuple[Node, Node]
    nominal_ohms: float | None = None
    remark: str = ""
    tolerance: float | None = None

    def other(self, node: Node) -> Node:
        return self.ends[1] if self.ends[0] == node else self.ends[0]


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
    from_node: Node = field(default=Node("", ""), metadata={"json": False})
    to_node: Node = field(default=Node("", ""), metadata={"json": False})

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


def node(place: str, bench: Bench) -> Node:
    """The node a name in the parts list means. B- and chassis count as the points they are."""
    first, _, rest = place.strip().partition(" ")
    position = next((str(p) for p in bench.record.tubes if node_name(p) == node_name(first)), "")
    if position and rest:
        tube = bench.tubes.get(position)
        spot = spots(position, rest, None, tube, is_tube=True, dialect=dialect_of(bench))[0]
        return Node(position, spot.key, str(place))
    group = reference_group(place)
    return Node("", group if group in ("B-", "chassis") else node_name(place), str(place))


def resistors(bench: Bench, date: datetime.date | None) -> tuple[Resistor, ...]:
    """Every resistor of the record that lies between two named places, with the value it had on ``date``."""
    found = []
    for name, piece, part in _pieces(bench.record):
        if not piece.between:
            continue
        value = _value(piece, part, date)
        if value:
            ohms, how, nominal, remark = value
            ends = node(piece.between[0], bench), node(piece.between[1], bench)
            found.append(Resistor(name, ohms, how, ends, nominal, remark, _tolerance(piece)))
    return tuple(found)


def _pieces(record: Record) -> Iterator[tuple[str, Part | PartSection, Part]]:
    for name, part in record.parts.items():
        yield str(name), part, part
        for section_name, section in part.sections.items():
            yield f"{name} {section_name}", section, part


def _value(
    piece: Part | PartSection, part: Part, date: datetime.date | None
) -> tuple[float, str, float | None, str] | None:
    """Ohms, how they are known, nominal ohms, and what was assumed: the new part holds from the day it was fitted."""
    new, old, sheet = (_resistor(c) for c in (piece.now, piece.was, piece.sheet))
    in_place, remark = new or old, ""
    if new and old:
        if date is None or part.fitted is None:
            remark = "the record does not say which came first, the reading or the new part; the new part is assumed"
        elif date < part.fitted:
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


def _tolerance(piece: Part | PartSection) -> float | None:
    """The tolerance that a resistor is marked with, new before old; None where none is written."""
    for component in (_resistor(piece.now), _resistor(piece.was), _resistor(piece.sheet)):
        if component and component.tolerance and component.tolerance.si:
            return float(abs(component.tolerance.si))
    return None


def _ohms(component: Component | None, name: str) -> float | None:
    """A component's nominal or measured resistance in ohms; None for none, and for anything but a number above zero."""
    quantity = getattr(component, name, None)
    return quantity.si if quantity and quantity.unit == "ohm" and quantity.si else None


def _resistor(components: Iterable[Component]) -> Component | None:
    return next((component for component in components if component.kind == "resistor"), None)


def voltages(run: Readings, circuit: Circuit) -> dict[Node, float]:
    """The DC voltage of each node that a run read, and 0 at the point it read against."""
    known = {
        node_of(value.spot): volts
        for value in run.values
        if value.spot.current == "DC" and not value.spot.pin and (volts := single(value.quantity)) is not None
    }
    ground = reference_group(run.conditions.reference)
    known[Node("", ground)] = 0.0
    if circuit.grounding.one_point and ground in ("B-", "chassis"):
        known[Node("", "B-")] = known[Node("", "chassis")] = 0.0
    return known


def node_of(spot: Spot) -> Node:
    """The node at which a reading was taken."""
    return Node("", node_name(f"{spot.tube} {spot.key}")) if spot.kind == RAIL else Node(spot.tube, spot.key)


def into(at: Node, parts: Iterable[Resistor], volts: Mapping[Node, float]) -> tuple[Through, ...] | None:
    """The currents that flow into a node through its resistors; None where they cannot all be known."""
    touching = [r for r in parts if at in r.ends]
    known = [r for r in touching if r.other(at) in volts and at in volts]
    if not known:
        return None
    least = min(r.ohms for r in known)
    if any(r.ohms < BESIDE_THE_POINT * least for r in touching if r not in known):
        return None
    return tuple(through(r, r.other(at), volts) for r in known)


def through(resistor: Resistor, start: Node, volts: Mapping[Node, float]) -> Through:
    """The current from ``start`` through a resistor whose ends are both known."""
    end = resistor.other(start)
    amps = (volts[start] - volts[end]) / resistor.ohms
    return Through(
        resistor.part,
        resistor.ohms,
        resistor.how,
        volts[start],
        volts[end],
        _said(start, resistor),
        _said(end, resistor),
        amps,
        resistor.remark,
        start,
        end,
    )


def _said(node: Node, resistor: Resistor) -> str:
    return next((end.written for end in resistor.ends if end == node and end.written), node.key)
