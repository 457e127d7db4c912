"""A component of the line side that the parts list has too: its name must be there, and its value the same."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.place_words import folded
from ...record.problems import one_of, quoted
from ...record.slips import near
from ..in_place import in_place
from ..line_side import contradictions, named_in

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.line_side import BarrierPart, LineSideState
    from ...record.slips import Slips
    from ..circuit import Circuit
    from ..line_side import Time
    from ..listed import Listed


def look_over(circuit: Circuit, slips: Slips) -> None:
    """Tell every name of a component that the parts list has not, and every value that it has otherwise."""
    side = circuit.record.line_side
    if side is None:
        return
    if side.before is not None:
        _state(circuit, side.before, "before", slips)
    if side.after is not None:
        _state(circuit, side.after, "after", slips)


def _state(circuit: Circuit, state: LineSideState, time: Time, slips: Slips) -> None:
    for place, part in named_in(state):
        _name(circuit, part, f"line side.{time}.{_field(place)}", slips)
    for place, parts in state.barriers():
        for part, listed in contradictions(circuit, parts, place, time):
            _value(part, listed, time, f"line side.{time}.{_field(place)}", slips)


def _field(place: str) -> str:
    return place if place in ("B- to chassis", "across the line", "line to chassis", "earth lead") else "touchable"


def _name(circuit: Circuit, part: BarrierPart, field: str, slips: Slips) -> None:
    name = part.part
    if name is None or circuit.component(name):
        return
    sections = _sections(circuit.record, name)
    if sections:
        found, expected = f"{quoted(name)}, a part of several sections", f"one of them: {one_of(map(quoted, sections))}"
        slips.add(name, field, found, expected)
        return
    known = [listed.name for listed in circuit.components]
    slips.add(name, field, quoted(name), "a part listed under parts, or a component with its value", near(name, known))


def _sections(record: Record, name: str) -> list[str]:
    part = next((part for key, part in record.parts.items() if folded(key) == folded(name)), None)
    return [f"{name} {section}" for section in part.sections] if part else []


def _value(part: BarrierPart, listed: Listed, time: Time, field: str, slips: Slips) -> None:
    written, inside = part.value or part.measured, in_place(listed, time)
    if written is None:
        return
    theirs = ", measured ".join(text for text in (inside.seen.value_typed, inside.seen.measured_typed) if text)
    slips.add(
        written,
        field,
        f"{quoted(written.written)}, where the parts list has {quoted(theirs)} for {listed.name}",
        "one value for one part",
        f"write {quoted(listed.name)} here, and its value in the parts list alone",
    )
