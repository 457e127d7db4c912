"""A closed network as data: its nodes, what it was made from, what was taken for granted, what is lacking."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from ...record.place_words import B_PLUS
from ...words import AMERICAN, Words
from ..places import CONTROL_GRIDS, Place

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcNet
    from ...tubes import Typical
    from ..elements import Element
    from ..stages import Stage

Taken = Literal[
    "fed from", "at the bottom", "held", "grid leak", "AVC", "winding", "sound", "rail read", "rail published",
    "charging", "line", "joined", "control", "on load", "off load",
    "switched off", "oscillates", "by its job",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class TakenAs:
    """One thing that the record does not say and that was taken for granted.

    ``how`` is the rule, ``place`` what it is about and ``to`` where it leads; ``part`` names a part, ``value`` is in
    ``unit`` and is what the rule gave it; ``source`` is the list of readings it stands in.
    """

    how: Taken
    place: Place | None = None
    to: Place | None = None
    part: str = ""
    value: float | None = None
    unit: str = ""
    source: str = ""

    def said(self, words: Words = AMERICAN, named: str = "") -> str:
        """The sentence without its stop; ``named`` are the places it is about, where these are several."""
        from ...record.units import say

        place = named or (self.place.name(words) if self.place else self.part)
        to = self.to.name(words) if self.to else ""
        value = say(self.value, self.unit) if self.value is not None else ""
        said = {
            "fed from": f"{place}, for which no part is listed: fed from {to}",
            "at the bottom": f"{place}, for which no part is listed: at {to}",
            "held": f"{place}: held at its own reading of {value} ({self.source}), as nothing that feeds it is listed",
            "grid leak": f"{place}, for which no leak is listed: at {to} through {value}",
            "AVC": f"{place}: at {to}, as without a signal",
            "winding": f"{place}: a winding of {value}",
            "sound": f"{place}: sound, with {value}",
            "rail read": f"{place}: {value} as read ({self.source})",
            "rail published": f"{place}: {value} as published ({self.source})",
            "charging": f"{place}: {value} in series with the rectifier",
            "on load": f"{place}: AC volts that hold on load, {value} without",
            "off load": f"{place}: {value} AC, taken as without load",
            "line": f"the {words.line}: {value}",
            "oscillates": f"{place}: held at its own reading of {value} ({self.source}), as it oscillates",
            "switched off": f"{place}: without supply, as the switch stood",
            "joined": f"{place} and {to}: one point",
            "by its job": f"{named or f'{self.part} from {place} to {to}'}: by the job, as no places are written",
            "control": f"{place}: half of its {value}, as nobody knows where a control in a cathode’s way stands",
        }
        return said[self.how]


_OF_SEVERAL: tuple[Taken, ...] = ("fed from", "at the bottom", "grid leak", "switched off", "by its job")
"""Rules that hold for many places of one set alike: they are told once."""


def told_once(taken: Iterable[TakenAs], words: Words = AMERICAN) -> tuple[str, ...]:
    """What was taken for granted in sentences without their stops, each rule once for all places that it is about."""
    alike: dict[object, list[TakenAs]] = {}
    for one in taken:
        together = (one.how, one.how != "by its job" and (one.to, one.value)) if one.how in _OF_SEVERAL else one
        alike.setdefault(together, []).append(one)
    return tuple(each[0].said(words, ", ".join(_named(one, words) for one in each)) for each in alike.values())


def _named(one: TakenAs, words: Words) -> str:
    place = one.place.name(words) if one.place else one.part
    if one.how != "by its job" or one.to is None:
        return place
    return f"{one.part} from {place} to {one.to.name(words)}"


@dataclass(frozen=True, slots=True)
class Lacking:
    """What keeps a place from being worked out, and the line of a record that would close it.

    ``what`` is ``part`` (nothing that feeds ``place`` is listed), ``type`` (no operating point of ``type`` is known),
    ``rail`` (its volts are neither read, published nor computable) or ``ohms`` (of ``part``). ``battery`` and
    ``three-way`` are sets whose stages are not followed.
    """

    what: Literal["part", "type", "rail", "ohms", "battery", "three-way"]
    place: Place | None = None
    part: str = ""
    type: str = ""

    @property
    def in_the_record(self) -> bool:
        """Whether a line of the record would help; else it is not followed here."""
        return self.what not in ("battery", "three-way")

    def said(self, words: Words = AMERICAN) -> str:
        """What is lacking, in half a sentence."""
        place = self.place.name(words) if self.place else self.part
        said = {
            "part": f"{'where the leak ends of' if self._of_grid else 'what feeds'} {place}",
            "type": f"an operating point of the {self.type} at {self.part}",
            "rail": f"the volts of {place}",
            "ohms": f"the ohms of {self.part}",
            "battery": f"the filaments and biases of a battery set’s {words.tubes} are not followed yet",
            "three-way": f"on the {words.line} each bias is made by where a filament stands in the string, by all "
            "currents that pass through it and by its shunts, and that is not followed yet",
        }
        return said[self.what]

    @property
    def _of_grid(self) -> bool:
        return self.place is not None and self.place.electrode in CONTROL_GRIDS

    def line(self, words: Words = AMERICAN) -> str:
        """An example of the line that closes it, as the writer would type it; empty where no line does."""
        if self.what == "ohms":
            return f"parts: {self.part}: … ohm"
        if self.place is None or self.what == "type":
            return ""
        name = self.place.name(words)
        if self.what == "rail":
            return f"readings: sheet: {name}: …" if not self.place.tube else f"readings: sheet: {self.place.tube}: …"
        if self._of_grid:
            return f"parts: R…: … ohm, between {name} and …"
        other = words.b_minus if self.place.electrode == "cathode" else words.rail.format(2)
        return f"parts: R…: … ohm, between {name} and {other}"


@dataclass(frozen=True, slots=True)
class ClosedStage:
    """A stage with the law its tube follows; ``name`` is the tube's in the network, ``point`` what fixed the law.

    ``converter`` says that its grids were left out, ``contact`` that nothing but grid current biases it.
    """

    name: str
    stage: Stage
    point: Typical
    converter: bool = False
    contact: bool = False


@dataclass(frozen=True)
class Closed:
    """A set's network for direct current. Branches bear the names of the parts they stand for (``parts``).

    ``nodes`` maps every point of the circuit's network to its node; ask ``node``. ``reference`` is the node that volts
    are told against. ``held`` are points that stand at their own reading, which is no evidence; ``unknown`` those of
    tubes without a law. ``line_volts`` is the line it was closed for. ``capacitors`` names the branches that stand for
    capacitors, with whether each is electrolytic. ``net`` is None where nothing can be computed: ``lacks`` says why.
    """

    net: DcNet | None
    nodes: Mapping[Place, int] = field(default_factory=dict)
    points: Mapping[Place, Place] = field(default_factory=dict)
    reference: int = 0
    stages: tuple[ClosedStage, ...] = ()
    parts: Mapping[str, Element] = field(default_factory=dict)
    capacitors: Mapping[str, bool] = field(default_factory=dict)
    taken: tuple[TakenAs, ...] = ()
    lacks: tuple[Lacking, ...] = ()
    held: frozenset[Place] = frozenset()
    unknown: frozenset[Place] = frozenset()
    line_volts: float | None = None

    def node(self, place: Place) -> int | None:
        """The node of a place; None where the network has none."""
        return self.nodes.get(self.points.get(place, place))

    def is_given(self, place: Place) -> bool:
        """Whether a place is worked out: it has a node, and neither holds it nor hides a tube's current."""
        point = self.points.get(place, place)
        return point in self.nodes and point not in self.held and point not in self.unknown

    def is_held_rail_node(self, node: int) -> bool:
        """Whether a rail stands at a node, at what is known of it."""
        return any(at in self.held and at.kind == B_PLUS for at, own in self.nodes.items() if own == node)

    def is_held_rail(self, place: Place) -> bool:
        """Whether a place is on a rail that stands at what is known of it."""
        point = self.points.get(place, place)
        return point in self.held and point.kind == B_PLUS
