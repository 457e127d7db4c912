"""Whether the chassis and B- of a set are on the line, and whether the two are one point: one answer for all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from .mains import Mains
from .place_words import B_MINUS, CHASSIS, read_rail

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.line_side import BarrierPart
    from ..record.sections.parts import Part, PartSection

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

    ``between`` names the parts written from B- to chassis, and ``line side`` where parts stand there. ``contradicted``
    is true where the record says two things that cannot both be so; the answers are then the strict ones.
    ``stated`` and ``earthed`` tell whether anything is written of the chassis, and whether it is earth.
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

    @property
    def chassis_on_line(self) -> bool:
        """Whether the chassis counts as connected to the line."""
        return self.chassis != "apart"

    @property
    def live(self) -> str:
        """What of the two counts as connected to the line: ``chassis`` (and B-), ``B-`` alone, or ``""``."""
        return "chassis" if self.chassis_on_line else "B-" if self.b_minus_on_line else ""


def grounding_of(record: Record, mains: Mains) -> Grounding:
    """How the set of a record is grounded: the table's answer, and what the parts between B- and chassis add to it."""
    answer = TABLE[mains.power, str(record.chassis or "")]
    between = parts_between(record)
    joined = isolated_and_joined(record, mains, between)
    in_string = not mains.power and record.heaters is not None and bool(record.heaters.order)
    return Grounding(
        chassis="in doubt" if joined else answer.chassis,
        b_minus_on_line=answer.b_minus_on_line,
        one_point=answer.one_point and not any(name != LINE_SIDE for name in between),
        between=between,
        contradicted=joined or answer is _DISPUTED,
        reference="B-" if mains.straight_from_line or in_string else "chassis",
        stated=record.chassis is not None,
        earthed=record.chassis == "earthed",
    )


LINE_SIDE = "line side"


def isolated_and_joined(record: Record, mains: Mains, between: tuple[str, ...]) -> bool:
    """Whether a chassis said to be isolated is joined by parts to a B- that is, or may be, one side of the line.

    Behind two windings, and on batteries, parts between them make a bias and leave the chassis isolated from the line.
    """
    return record.chassis == "isolated" and bool(between) and TABLE[mains.power, "isolated"].b_minus_on_line


def parts_between(record: Record) -> tuple[str, ...]:
    """The names of the parts written between B- and chassis; ``line side`` where parts stand there as it is now."""
    found = [str(name) for name, part in record.parts.items() if any(map(_joins, _places(part)))]
    return (*found, *([LINE_SIDE] if any(_of_line_side(record)) else []))


def _places(part: Part) -> tuple[Part | PartSection, ...]:
    return (part, *part.sections.values())


def _joins(where: Part | PartSection) -> bool:
    """Whether something lies from B- to chassis there now; of what was taken out, the record says ``now none``."""
    if {read_rail(str(end)).key for end in where.between or ()} != {B_MINUS, CHASSIS}:
        return False
    listed = where.now or where.was or where.sheet
    return not listed or any(component.condition not in _NOT_THERE for component in listed)


def _of_line_side(record: Record) -> Iterator[BarrierPart]:
    """What lies from B- to chassis after the work, or before it where nothing is written of after."""
    sides = record.line_side
    state = (sides.after or sides.before) if sides else None
    return (part for part in (state.b_minus_to_chassis if state else ()) if part.condition not in _NOT_THERE)
