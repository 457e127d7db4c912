"""What is written of the line side and cannot be so, each a Problem at its place. A part's condition is a finding."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.problems import one_of, quoted
from ...record.sections.line_side import BarrierPart, LineSideState, TouchablePart
from ...record.sections.parts import BOTH_CLASSES, SAFETY_CLASSES
from ...record.text import NOWHERE, Text
from ..mains import mains_of

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.slips import Found, Slips

_CLASS = re.compile(r"\b(?:class\s+)?([XY]\s*\d+)\b", re.I)
_THIRD_PIN = re.compile(r"\b(?:third|earth|ground)\s+pin\b|\bplug\b", re.I)
_TWO_CORE = re.compile(r"\b(?:two|2)[- ](?:core|wire|conductor)", re.I)
_THREE_CORE = re.compile(r"\b(?:three|3)[- ](?:core|wire|conductor)", re.I)


def look_over(record: Record, slips: Slips) -> None:
    """Tell every contradiction in the record's line side."""
    side = record.line_side
    for when, state in (("before", side.before), ("after", side.after)) if side else ():
        if state is None:
            continue
        otherwise = next((t for t in (state.plug, state.switch, state.cord) if t), None)
        for at, field, what, expected, remedy in _of_state(record, state):
            slips.add(at or otherwise, f"line side.{when}.{field}", what, expected, remedy)


def _of_state(record: Record, state: LineSideState) -> Iterator[Found]:
    yield from _leads(record, state)
    yield from _plug_and_cord(state)
    for field, parts in _places(state):
        for part in parts:
            yield from _class(part, field)


def _leads(record: Record, state: LineSideState) -> Iterator[Found]:
    """A fuse or a switch in a lead that this set has not."""
    places = [("switch", state.switch), ("fuse", state.fuse.in_ if state.fuse else None)]
    for field, lead in places:
        if lead is None:
            continue
        if lead.startswith("B- lead") and mains_of(record).double_wound:
            found = f"{quoted(lead)} in a set with a transformer"
            remedy = "“return lead”, if it is the other lead of the cord" if field == "fuse" else ""
            yield lead, field, found, "a lead of the cord: hot lead or both leads", remedy
        if state.plug == "none" and (state.cord or "").casefold() in ("none", "no"):
            yield lead, field, f"{quoted(lead)} without plug and cord", "a lead that the set has", ""


def _plug_and_cord(state: LineSideState) -> Iterator[Found]:
    cord, earth = state.cord, state.earth_lead
    if cord is not None and _TWO_CORE.search(cord) and _THREE_CORE.search(cord):
        yield cord, "cord", quoted(cord), "a two-core or a three-core cord", ""
    two_pin = state.plug is not None and state.plug.startswith("two-pin")
    third_pin = (
        earth is not None and _THIRD_PIN.search(earth) and not re.match(r"\s*(?:none|no|not|cut)\b", earth, re.I)
    )
    if two_pin and third_pin and earth is not None:
        found = f"{quoted(earth)} with a plug {quoted(str(state.plug))}"
        yield earth, "earth lead", found, "a plug “three-pin with earth”, or another way to earth", ""


def _places(state: LineSideState) -> Iterator[tuple[str, tuple[BarrierPart, ...]]]:
    yield "B- to chassis", state.b_minus_to_chassis
    yield "across the line", state.across_the_line
    yield "line to chassis", state.line_to_chassis
    for part in state.touchable:
        if isinstance(part, TouchablePart):
            yield "touchable", part.through


def _class(part: BarrierPart, field: str) -> Iterator[Found]:
    """A class that does not exist, be it as a class or among the words beside the value; and one on a resistor."""
    written = _unknown_class(part)
    if written is not None:
        yield (
            _place(part, written),
            field,
            f"the class {quoted(written)}",
            f"a class of IEC 60384-14: {one_of(SAFETY_CLASSES)}",
            "",
        )
    if part.class_ and part.kind in ("resistor", "inductor"):
        found = f"the class {quoted(part.class_)} for a {part.kind}"
        yield _place(part, part.class_), field, found, "it for a capacitor only", ""


def _unknown_class(part: BarrierPart) -> Text | None:
    if part.class_ is not None:
        return None if part.class_ in (*SAFETY_CLASSES, *BOTH_CLASSES) else part.class_
    for text in (part.note, part.type):
        found = _CLASS.search(text) if text else None
        if text and found and found[1].upper().replace(" ", "") not in SAFETY_CLASSES:
            return text.cut(found.start(), found.end())
    return None


def _place(part: BarrierPart, text: Text) -> object:
    return text if text.place != NOWHERE else part.value or part.measured
