"""What an ohmmeter before power saw, and which of it is not in the set any more."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS
from . import cold_subjects as subjects
from .dead_string import DROPS
from .elements import CAPACITOR, FUSE, RESISTOR, SWITCH, WINDING
from .in_place import in_place
from .places import rail

if TYPE_CHECKING:
    from .circuit import Circuit
    from .cold_subjects import ColdSubject
    from .listed import Listed
    from .places import Place

__all__ = ["put_right_since", "replaced_since"]

_ON_THE_LINE = (subjects.PLUG, subjects.LINE_TO_CHASSIS, subjects.LINE_TO_B_MINUS, subjects.APART)


def replaced_since(circuit: Circuit, subject: ColdSubject, day: datetime.date, *, high: bool) -> tuple[str, ...]:
    """The parts and tubes on the way of a reading that were exchanged or taken out after its ``day``.

    What read too ``high`` is no capacitor's work; what read too low is one's where one was exchanged. None where
    nothing on the way is another: then the reading stands.
    """
    parts = [one for one in _listed_on(circuit, subject, high=high) if _is_another(one, day)]
    leaky = [one for one in parts if not high and in_place(one, day).kind == "capacitor"]
    names = (one.name for one in leaky or parts)
    return tuple(dict.fromkeys((*names, *_dropper(circuit, subject, day, high=high), *_tubes(circuit, subject, day))))


def put_right_since(circuit: Circuit, day: datetime.date | None) -> bool:
    """Whether a part, a tube or a fault was put right after a ``day``: what was read of the whole set then is past."""
    if day is None:
        return False
    days = [one.date for one in circuit.record.faults if one.cure]
    days += [one.date for one in circuit.record.changed_tubes.values()]
    return any(one and one > day for one in days) or any(_is_another(one, day) for one in circuit.components)


def _is_another(one: Listed, day: datetime.date) -> bool:
    return in_place(one, day).which != in_place(one, "now").which


def _listed_on(circuit: Circuit, subject: ColdSubject, *, high: bool) -> Iterator[Listed]:
    if subject.kind == subjects.BETWEEN:
        one, other = subject.places
        yield from _between(circuit, one, other, high=high)
    elif subject.kind in (subjects.PART, subjects.FIELD, subjects.HEATER_WINDING):
        yield from (one for one in circuit.components if subject.part and subject.part in (one.part, one.name))
    if subject.kind in _ON_THE_LINE:
        yield from (one for parts in circuit.on_line_side.values() for one in parts)
    if high and subject.kind in (subjects.STRING, subjects.PLUG):
        yield from (one for one in circuit.components if DROPS.search(one.piece.job))
        yield from (e.listed for e in circuit.network.elements if e.kind in (FUSE, SWITCH))


def _between(circuit: Circuit, one: Place, other: Place, *, high: bool) -> Iterator[Listed]:
    """The parts that a current from one place to another may pass, and the capacitors beside them."""
    network = circuit.network
    goals = {network.point(other), network.point(rail(B_MINUS))}
    seen, left = set(goals), [network.point(one)]
    while left:
        here = left.pop()
        if here in seen or network.is_common(here):
            continue
        seen.add(here)
        left += [network.point(network.other_end(e, here)) for e in network.at(here, RESISTOR, WINDING, FUSE, SWITCH)]
    for element in network.elements:
        ends = {network.point(end) for end in element.ends}
        if all(end in seen or network.is_common(end) for end in ends) and not (high and element.kind == CAPACITOR):
            yield element.listed


def _dropper(circuit: Circuit, subject: ColdSubject, day: datetime.date, *, high: bool) -> Iterator[str]:
    """The dropper that was found open and is another now, unless the fault it was is dated with no later day."""
    dropper = circuit.record.heaters.dropper if circuit.record.heaters else None
    if not high or subject.kind not in (subjects.STRING, subjects.PLUG) or dropper is None or dropper.now is None:
        return
    cured = [one.date for one in circuit.record.faults if one.date and DROPS.search(f"{one.cause} {one.cure}")]
    if (dropper.open_section or (dropper.measured and dropper.measured.qualifier == "open")) and all(
        one > day for one in cured
    ):
        yield "dropper"


def _tubes(circuit: Circuit, subject: ColdSubject, day: datetime.date) -> Iterator[str]:
    """The tubes whose heater was read and that were exchanged since: one, or those of a string."""
    whole = subject.kind in (subjects.STRING, subjects.PLUG) and circuit.mains.heaters_in_string
    for position, change in circuit.record.changed_tubes.items():
        if change.date and change.date > day and (whole or str(position) == subject.tube):
            yield str(position)
