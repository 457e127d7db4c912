"""Whether the chassis and B- of a set are on the line, and whether the two are one point: one answer for all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from ..record.place_words import B_MINUS, CHASSIS
from .elements import LINE_SIDE, WIRE, Element
from .in_place import When, in_place
from .mains import Mains
from .network import Network
from .places import rail

if TYPE_CHECKING:
    from ..record.model import Record

WIRES = "wires"
"""What stands for parts where a wire makes B- and the chassis one point."""

_STANDING: tuple[When, ...] = ("now", "after")

Chassis = Literal["on the line", "through parts", "in doubt", "apart"]

_NOT_THERE = ("none", "open")


@dataclass(frozen=True, slots=True)
class Answer:
    """What follows from ``power`` and ``chassis``.

    ``chassis`` is ``on the line`` (one side of it), ``through parts`` (a resistor or a capacitor between), ``in doubt``
    (not written, or not to be believed: it counts as on the line) or ``apart``. ``b_minus_on_line`` is true in doubt,
    ``one_point`` (B- and chassis joined) is not.
    """

    chassis: Chassis
    b_minus_on_line: bool
    one_point: bool

    @property
    def parted(self) -> bool:
        """Whether B- is on the line and the chassis written to be parted from it."""
        return self.b_minus_on_line and self.chassis in ("through parts", "apart")


_LINE = Answer("on the line", True, True)
_THROUGH = Answer("through parts", True, False)
_FLOATING = Answer("apart", True, False)
_DOUBT = Answer("in doubt", True, False)
_APART = Answer("apart", False, True)
_PARTED = Answer("apart", False, False)
_DISPUTED = Answer("in doubt", True, True)

TABLE: dict[tuple[str, str], Answer] = {
    # B- is one side of the line. An earthed chassis cannot be joined to it, and what parts them is not written.
    ("series string", "line-connected"): _LINE,
    ("series string", "through R and C"): _THROUGH,
    ("series string", "isolated"): _FLOATING,
    ("series string", "earthed"): _DOUBT,
    ("series string", ""): _DOUBT,
    ("three-way", "line-connected"): _LINE,
    ("three-way", "through R and C"): _THROUGH,
    ("three-way", "isolated"): _FLOATING,
    ("three-way", "earthed"): _DOUBT,
    ("three-way", ""): _DOUBT,
    ("autotransformer", "line-connected"): _LINE,
    ("autotransformer", "through R and C"): _THROUGH,
    ("autotransformer", "isolated"): _FLOATING,
    ("autotransformer", "earthed"): _DOUBT,
    ("autotransformer", ""): _DOUBT,
    # Two windings part the set from the line, unless the record says otherwise: then it is believed.
    ("transformer", "line-connected"): _LINE,
    ("transformer", "through R and C"): _THROUGH,
    ("transformer", "isolated"): _APART,
    ("transformer", "earthed"): _APART,
    ("transformer", ""): _APART,
    # There is no line. A chassis said to be on it is a contradiction, of which the worse half counts.
    ("battery", "line-connected"): _DISPUTED,
    ("battery", "through R and C"): _PARTED,
    ("battery", "isolated"): _APART,
    ("battery", "earthed"): _APART,
    ("battery", ""): _APART,
    ("vibrator", "line-connected"): _DISPUTED,
    ("vibrator", "through R and C"): _PARTED,
    ("vibrator", "isolated"): _APART,
    ("vibrator", "earthed"): _APART,
    ("vibrator", ""): _APART,
    # Without a word on the supply it may be any of these: the worst of them counts.
    ("", "line-connected"): _LINE,
    ("", "through R and C"): _THROUGH,
    ("", "isolated"): _FLOATING,
    ("", "earthed"): _DOUBT,
    ("", ""): _DOUBT,
}
"""By ``power`` and ``chassis`` as written, ``""`` where not written."""


@dataclass(frozen=True, slots=True)
class Grounding:
    """How B- and the chassis of one set stand to the line and to each other.

    ``between`` names the parts from B- to chassis, ``line side`` for what is written there alone, and ``wires`` where a
    wire joins the two. ``joined`` is true where those join a chassis that is said to be isolated to the line,
    ``contradicted`` where the record says these or any two things that cannot both be so; the answers are then the
    strict ones. ``stated`` and ``earthed`` tell whether anything is written of the chassis, and whether it is
    earth, be it by a wire of the line side.
    ``reference`` is what a meter's black lead is taken to be on where nothing is written: ``B-`` or ``chassis``.
    """

    chassis: Chassis
    b_minus_on_line: bool
    one_point: bool
    between: tuple[str, ...]
    contradicted: bool
    reference: str
    stated: bool
    earthed: bool
    joined: bool

    @property
    def chassis_on_line(self) -> bool:
        """Whether the chassis counts as connected to the line."""
        return self.chassis != "apart"

    @property
    def live(self) -> str:
        """What of the two counts as connected to the line: ``chassis`` (and B-), ``B-`` alone, or ``""``."""
        return "chassis" if self.chassis_on_line else "B-" if self.b_minus_on_line else ""


def written_answer(record: Record) -> Answer:
    """What follows from ``power`` and ``chassis`` as they are written, before anything is known of the parts."""
    return TABLE[str(record.power or ""), str(record.chassis or "")]


def grounding_of(record: Record, mains: Mains, network: Network) -> Grounding:
    """How the set of a record is grounded: the table's answer, and what ``network`` has between B- and chassis.

    ``network`` is what is written, before B- and chassis are taken for one point.
    """
    # What could not be read of the supply or the chassis may say anything: the strict answer holds.
    unread = record.lost.touches("power", "chassis")
    answer = _LINE if unread else written_answer(record)
    wired = network.same(rail(B_MINUS), rail(CHASSIS))
    between = _between(network)
    joined = _isolated_and_joined(record, mains, between)
    in_string = not mains.power and record.heaters is not None and bool(record.heaters.order)
    return Grounding(
        chassis="in doubt" if joined else answer.chassis,
        b_minus_on_line=answer.b_minus_on_line,
        one_point=wired or (answer.one_point and not network.from_b_minus_to_chassis()),
        between=between,
        contradicted=joined or answer is _DISPUTED,
        reference="B-" if mains.straight_from_line or in_string else "chassis",
        stated=record.chassis is not None,
        earthed=record.chassis == "earthed" or _has_earth_wire(record),
        joined=joined,
    )


def _has_earth_wire(record: Record) -> bool:
    """Whether the line side, as it was left or else as found, has an earth wire, or a plug with a pin for one.

    A wire with parts in its way is none.
    """
    side = record.line_side
    state = (side.after or side.before) if side else None
    if state is None or not state.earthed:
        return state is not None and state.earthed is None and state.plug == "three-pin with earth"
    try:
        return not state.through_earth_lead()
    except ValueError:
        return False


def _isolated_and_joined(record: Record, mains: Mains, between: tuple[str, ...]) -> bool:
    """Whether a chassis said to be isolated is joined by parts to a B- that is, or may be, one side of the line.

    Behind two windings, and on batteries, parts between them make a bias and leave the chassis isolated from the line.
    """
    return record.chassis == "isolated" and bool(between) and TABLE[mains.power, "isolated"].b_minus_on_line


def _between(network: Network) -> tuple[str, ...]:
    """What joins B- and chassis now or after the work: the parts by name, or what says that a wire does."""
    if network.same(rail(B_MINUS), rail(CHASSIS)):
        by_side = any(element.kind == WIRE for element in network.elements)
        return (LINE_SIDE,) if by_side else (WIRES,)
    return tuple(dict.fromkeys(e.listed.part for e in network.from_b_minus_to_chassis() if _is_there(e)))


def _is_there(element: Element) -> bool:
    """Whether a part joins its ends: of what was taken out, the record says ``now none``."""
    found = (in_place(element.listed, when).condition for when in _STANDING)
    return any(condition not in _NOT_THERE for condition in found)
