"""The resistors of the parts list that lie between two places whose voltage a run knows, and the currents in them."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.in_place import InPlace, in_place
from ...record.sections.parts import node_name
from .judging import single
from .places import RAIL, Spot, spots
from .runs import Readings, dialect_of, one_point, reference_group

if TYPE_CHECKING:
    from ...record.model import Record
    from ..bench import Bench

BESIDE_THE_POINT = 20
"""A resistor with one end unknown that is so many times as large takes 5 % of the current at most, and is left out."""


@dataclass(frozen=True, slots=True)
class Node:
    """An end of a part: a tube's electrode (``tube`` and ``key``), or a rail by its name."""

    tube: str
    key: str
    written: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Resistor:
    """A resistor in place when a run was taken. ``how`` is ``measured``, ``nominal`` or ``from the sheet``.

    ``bound`` is empty where ``ohms`` are a number, ``at least`` or ``at most`` where a meter told no more than that;
    what is open has ohms without end, what is shorted none.
    """

    part: str
    ohms: float
    how: str
    ends: tuple[Node, Node]
    nominal_ohms: float | None = None
    remark: str = ""
    tolerance: float | None = None
    bound: str = ""

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
    for listed in bench.circuit.components:
        piece, inside = listed.piece, in_place(listed, date)
        if piece.ends is None or inside.kind != "resistor" or not inside.is_there:
            continue
        known = _ohms(inside)
        if known is not None:
            ends = node(piece.ends[0], bench), node(piece.ends[1], bench)
            sheet = piece.sheet.value if piece.sheet and piece.sheet.unit == "ohm" else None
            off = max(-inside.tolerance.low, inside.tolerance.high) if inside.tolerance else None
            how = "nominal" if inside.how in ("marked", "assumed") else inside.how
            found.append(
                Resistor(listed.name, known[0], how, ends, sheet or inside.nominal, inside.remark, off, known[1])
            )
    return tuple(found)


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


def voltages(run: Readings, record: Record) -> dict[Node, float]:
    """The DC voltage of each node that a run read, and 0 at the point it read against."""
    known = {
        node_of(value.spot): volts
        for value in run.values
        if value.spot.current == "DC" and not value.spot.pin and (volts := single(value.quantity)) is not None
    }
    ground = reference_group(run.conditions.reference)
    known[Node("", ground)] = 0.0
    if one_point(record) and ground in ("B-", "chassis"):
        known[Node("", "B-")] = known[Node("", "chassis")] = 0.0
    return known


def node_of(spot: Spot) -> Node:
    """The node at which a reading was taken."""
    return Node("", node_name(f"{spot.tube} {spot.key}")) if spot.kind == RAIL else Node(spot.tube, spot.key)


def into(at: Node, parts: Iterable[Resistor], volts: Mapping[Node, float]) -> tuple[Through, ...] | None:
    """The currents that flow into a node through its resistors; None where they cannot all be known."""
    touching = [r for r in parts if at in r.ends]
    known = [r for r in touching if not r.bound and r.other(at) in volts and at in volts]
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
