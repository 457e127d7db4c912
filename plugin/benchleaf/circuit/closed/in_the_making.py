"""A network in the making: nodes as places ask for them, and what was put between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM, DcBranch, HeldNode, RectifierInNet, TubeInNet
from ..places import Place
from .closed_network import ClosedStage, Lacking, TakenAs

if TYPE_CHECKING:
    from ..circuit import Circuit
    from ..elements import Element
    from ..winding_source import WindingSource


@dataclass
class NetInTheMaking:
    """What the closing rules write into, one after the other. ``volts`` are readings above the bottom, by point.
    ``bottom`` is what readings are taken against, ``b_minus`` where the supply's current returns.

    ``published`` are those of the sheet, brought to the line in question; ``off`` the points that a switch has taken
    off the supply. ``winding`` feeds the rectifier, with the share of its volts at this line and the current that it is
    first taken to give. ``to_try`` says that faults are to be tried in it: then what was read may be the work of one.
    """

    circuit: Circuit
    bottom: Place
    b_minus: Place
    volts: dict[Place, float] = field(default_factory=dict)
    published: dict[Place, float] = field(default_factory=dict)
    run: str = ""
    sheet: str = ""
    line_volts: float | None = None
    nodes: dict[Place, int] = field(default_factory=dict)
    branches: list[DcBranch] = field(default_factory=list)
    tubes: list[TubeInNet] = field(default_factory=list)
    held_nodes: list[HeldNode] = field(default_factory=list)
    rectifiers: list[RectifierInNet] = field(default_factory=list)
    stages: list[ClosedStage] = field(default_factory=list)
    parts: dict[str, Element] = field(default_factory=dict)
    capacitors: dict[str, bool] = field(default_factory=dict)
    taken: list[TakenAs] = field(default_factory=list)
    lacks: list[Lacking] = field(default_factory=list)
    held: set[Place] = field(default_factory=set)
    unknown: set[Place] = field(default_factory=set)
    joined: dict[Place, Place] = field(default_factory=dict)
    sources: set[int] = field(default_factory=set)
    off: frozenset[Place] = frozenset()
    to_try: bool = False
    first_rail: Place | None = None
    winding: tuple[WindingSource, float, float] | None = None

    def point(self, place: Place) -> Place:
        """The point of the circuit's network that a place is at, after what was joined here."""
        at = self.circuit.network.point(place)
        return self.joined.get(at, at)

    def node(self, place: Place) -> int:
        """The node of a place, made where there is none yet."""
        at = self.point(place)
        if at == self.point(self.bottom):
            return self.nodes.setdefault(at, BOTTOM)
        if at not in self.nodes:
            self.nodes[at] = len([n for n in self.nodes.values() if n != BOTTOM]) + 1
        return self.nodes[at]

    def branch(self, name: str, one: Place, other: Place, ohms: float, deviation: float = 0.0) -> None:
        """A resistance between two places; none where they are one point."""
        if self.point(one) != self.point(other):
            self.branches.append(DcBranch(name, (self.node(one), self.node(other)), ohms, deviation))

    def read(self, place: Place) -> float | None:
        """What was read at a place, or else what is published there."""
        at = self.point(place)
        return self.volts.get(at, self.published.get(at))

    def fed_from(self, place: Place) -> Iterator[int]:
        """The nodes that parts lead to from a place, capacitors aside."""
        if self.point(place) not in self.nodes:
            return
        here = self.nodes[self.point(place)]
        for branch in self.branches:
            if here in branch.ends and branch.name not in self.capacitors:
                yield branch.ends[branch.ends[0] == here]

    def reaches(self, start: Place, goals: set[int]) -> bool:
        """Whether direct current may pass from a place to one of the nodes by way of parts, the bottom aside."""
        seen: set[int] = set()
        left = [self.node(start)]
        while left:
            here = left.pop()
            if here in goals:
                return True
            seen.add(here)
            for branch in self.branches:
                if here in branch.ends and branch.name not in self.capacitors:
                    left += [end for end in branch.ends if end not in seen and end != BOTTOM]
        return False

    def has_no_supply(self, place: Place) -> bool:
        """Whether a place hangs on nothing but points that a switch has taken off the supply."""
        goals = {self.node(at) for at in self.off}
        return self.reaches(place, goals) and not self.reaches(place, self.sources - goals)

    def behind(self, start: set[int]) -> set[int]:
        """The nodes that hang on some nodes by way of parts, up to those that are held and to the bottom."""
        held = {one.node for one in self.held_nodes} | {BOTTOM}
        seen: set[int] = set()
        left = list(start)
        while left:
            here = left.pop()
            seen.add(here)
            for branch in self.branches:
                if here in branch.ends and branch.name not in self.capacitors:
                    left += [end for end in branch.ends if end not in seen | held]
        return seen

    def hold(self, place: Place, volts: float, deviation: float) -> None:
        """Holds a place at volts above the bottom; the bottom itself is held already. What it takes returns at B-."""
        if self.node(place) != BOTTOM:
            name, back = f"{self.point(place).name()} held", self.node(self.b_minus)
            self.held_nodes.append(HeldNode(name, self.node(place), volts, deviation, back))
