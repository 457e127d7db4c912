"""The barriers of one written state of the line side, with what the parts list says of their components."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeGuard

from ...circuit.barrier_places import LINE_TO_TOUCHABLE
from ...circuit.line_side import SideComponent, Time, components, listed_there
from ...record.units import say
from ...report.typed import in_trade_units
from .barriers import Barrier, read_barrier
from .wording import part_words

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.in_place import InPlace
    from ...record.sections.line_side import LineSideState
    from ...words import Words


@dataclass(frozen=True, slots=True)
class ReadSide:
    """The barriers of a state; ``before_parts`` holds those before touchable parts, by the part.

    ``from_list`` says what was taken from the parts list, ``assumed`` what the list does not say and how it was taken.
    """

    b_minus: Barrier
    across: Barrier
    line_to_chassis: Barrier
    earth: Barrier
    before_parts: Mapping[str, Barrier]
    from_list: tuple[str, ...]
    assumed: tuple[str, ...]


def read_side(circuit: Circuit, state: LineSideState, time: Time, words: Words) -> ReadSide:
    """The barriers of a state as they were at one time."""
    places: dict[str, tuple[SideComponent, ...]] = {}
    for place, parts in state.barriers():
        places.setdefault(place, components(circuit, parts, place, time))
    unsaid = not places["B- to chassis"] and circuit.grounding.chassis != "on the line"
    if unsaid:
        places["B- to chassis"] = listed_there(circuit, "B- to chassis", time)
    straight = _straight_to_a_part(circuit, places, time)
    places["line to chassis"] = (*places["line to chassis"], *straight)
    barriers = {place: read_barrier(found) for place, found in places.items()}
    return ReadSide(
        b_minus=barriers.pop("B- to chassis"),
        across=barriers.pop("across the line"),
        line_to_chassis=barriers.pop("line to chassis"),
        earth=barriers.pop("earth lead", ()),
        before_parts=barriers,
        from_list=tuple(_from_list(places, words)),
        assumed=(*_assumed(places, words, unsaid=unsaid), *_said_of_straight(straight, words)),
    )


def _straight_to_a_part(
    circuit: Circuit, places: Mapping[str, Sequence[SideComponent]], time: Time
) -> tuple[SideComponent, ...]:
    """What the parts list has between the line and a part within reach that nothing is written to part from the
    chassis, and that no state names itself."""
    named = {one.name for found in places.values() for one in found}
    return tuple(
        one
        for one in listed_there(circuit, LINE_TO_TOUCHABLE, time)
        if one.name not in named and not any(places.get(end) for end in _reached(circuit, one.name))
    )


def _reached(circuit: Circuit, name: str) -> tuple[str, ...]:
    listed = circuit.component(name)
    return tuple(circuit.places.read(end).key for end in (listed.piece.ends or ())) if listed else ()


def _said_of_straight(straight: Sequence[SideComponent], words: Words) -> Iterator[str]:
    for one in straight:
        yield (
            f"{one.name} goes from the {words.line} to a part within reach; nothing is written between that part and "
            "the chassis, which counts as joined to it."
        )


def _from_list(places: Mapping[str, Sequence[SideComponent]], words: Words) -> Iterator[str]:
    for place, found in places.items():
        for one in found:
            if one.name and one.inside.which:
                here = f"; written here as {one.written.seen.value_typed}" if _is_typed(one.written) else ""
                yield f"{one.name} {_where(place, words)}: {in_trade_units(_value(one) + here)}."


def _is_typed(written: InPlace | None) -> TypeGuard[InPlace]:
    return written is not None and bool(written.seen.value_typed)


def _value(one: SideComponent) -> str:
    inside = one.inside
    if inside.condition:
        return {"none": "not there"}.get(inside.condition, inside.condition)
    if inside.value is None:
        return inside.seen.measured_typed or "no value written"
    leakage = f", leakage {inside.seen.leakage_typed}" if inside.seen.leakage_typed else ""
    return f"{say(inside.value, inside.unit)} {inside.how}{leakage}"


def _assumed(places: Mapping[str, Sequence[SideComponent]], words: Words, *, unsaid: bool) -> Iterator[str]:
    if unsaid and places["B- to chassis"]:
        yield f"What lies from {words.b_minus} to chassis is not written here: what the parts list has there is taken."
    for place, found in places.items():
        for one in found:
            if one.name and one.inside.how == "assumed":
                yield f"Of the old {one.name} {_where(place, words)} nothing is written: one like the new is taken."
            elif one.name and not one.inside.which and one.inside.value is None:
                yield f"What {one.name} {_where(place, words)} is cannot be known: it counts as a wire."
    if "earth lead" not in places:
        yield f"What the {words.earth} wire goes through cannot be read: it counts as a wire."


def _where(place: str, words: Words) -> str:
    if place == "B- to chassis":
        return f"from {words.b_minus} to chassis"
    if place == "line to chassis":
        return f"from the {words.line} to chassis"
    if place == "across the line":
        return f"across the {words.line}"
    return f"in the {words.earth} wire" if place == "earth lead" else f"before the {part_words(place, words)}"
