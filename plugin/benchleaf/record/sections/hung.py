"""Where the inner parts of a part end: at the taps of a row of sections, or at the outer pins of a couplate."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic.json_schema import JsonSchemaValue

from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..line_items import items, listed
from ..problems import one_of, quoted
from ..section import described, refused
from ..several import LEAST_TAPS
from ..text import Entries, Text
from ..values import Reads, as_text

_JOINT = re.compile(r"\s+(?:to|–|-)\s+|\s*/\s*", re.I)
_NUMBERED = re.compile(r"(?:pin\s*)?(?P<pin>\d{1,2})\s*[:=]?\s+(?P<at>\D.*|\d{1,3}[A-Z].*)", re.I)
_PIN = re.compile(r"(?:pin\s*)?(?P<pin>\d{1,2})", re.I)
_PINS_JOINED = re.compile(
    r"(?:between\s+|from\s+)?(?P<one>(?:pin\s*)?\d{1,2})\s*(?:to|and|-|–)\s*(?P<other>(?:pin\s*)?\d{1,2})", re.I
)


def _read_taps(value: Any) -> tuple[Text, ...]:
    """``B+1 to B+2 to B-``: the places at the ends and taps of a row of sections, in order."""
    names = [as_text(v) for v in value] if isinstance(value, list | tuple) else listed(as_text(value))
    found: list[Text] = []
    for name in names:
        start = 0
        for joint in _JOINT.finditer(name):
            found.append(name.cut(start, joint.start()))
            start = joint.end()
        found.append(name.cut(start))
    if len(found) < LEAST_TAPS or not all(found):
        expected = "both ends and every tap in order, with “to” between, such as “B+1 to B+2 to B-”"
        raise refused(described(value), expected, at=value)
    return tuple(found)


Taps = Annotated[tuple[Text, ...], Reads(_read_taps, one_or_more(TEXT_SCHEMA))]


def published_pins(made: JsonSchemaValue) -> JsonSchemaValue:
    """Pins are names and values, or one line."""
    return {"if": {"type": "object"}, "then": made, "else": one_or_more(TEXT_SCHEMA)}


def pins_of_line(value: Any) -> Any:
    """``1 V3 plate, 2 B+2, 4 V4 grid``; without numbers in the order of the pins."""
    if not isinstance(value, Text):
        return value
    pins = Entries(value.place)
    for number, name in enumerate(listed(value), 1):
        own = _NUMBERED.fullmatch(name)
        pin = name.cut(*own.span("pin")) if own else Text(str(number), name.place)
        if pin in pins:
            raise refused(f"pin {pin} a second time", "each pin once", at=name)
        pins[pin] = name.cut(*own.span("at")) if own else name
    return pins


def pins_joined(line: Text) -> tuple[Text, tuple[Text, Text] | None]:
    """A line of an inner part without the item that says which outer pins it joins, ``1 to 3``; and the two."""
    for item in items(line):
        both = _PINS_JOINED.fullmatch(item)
        if both is None:
            continue
        start = item.place[1] - line.place[1]
        before, behind = line[:start].rstrip(" ,"), line[start + len(item) :].lstrip(" ,")
        rest = line.cut(0, len(before)) if not behind else line.taken_as(", ".join(filter(None, (before, behind))))
        return rest, (item.cut(*both.span("one")), item.cut(*both.span("other")))
    return line, None


def hung(part: Any) -> Any:
    """The part with the ends of its sections taken from its taps and pins.

    A row of sections has one more place than sections; where it has not, that is asked.
    """
    sections = list(part.sections.values())
    if part.taps:
        if len(part.taps) != len(sections) + 1:
            found = f"{len(part.taps)} places for {len(sections)} sections"
            raise refused(found, f"{len(sections) + 1}: both ends and each tap between two sections", at=part.taps[0])
        for section, ends in zip(sections, zip(part.taps, part.taps[1:], strict=False), strict=True):
            if not section.between:
                object.__setattr__(section, "between", ends)
    pins = {str(pin): at for pin, at in part.pins.items()}
    for section in sections if pins else ():
        if section.between:
            object.__setattr__(section, "between", tuple(_at_pin(end, pins) for end in section.between))
    return part


def _at_pin(end: Text, pins: dict[str, Text]) -> Text:
    """What the outer pin hangs on that an inner part ends at; any other place as it is."""
    pin = _PIN.fullmatch(end)
    if pin is None:
        return end
    numbered = {int(own["pin"]): at for name, at in pins.items() if (own := _PIN.fullmatch(name))}
    at = numbered.get(int(pin["pin"]))
    if at is None:
        raise refused(f"{quoted(end)}, a pin that “pins” does not have", one_of(f"pin {name}" for name in pins), at=end)
    return end.taken_as(str(at))


def side_by_its_electrode(part: Any) -> Any:
    """A part whose positive side is an electrode alone, ``positive cathode``, has it at the end of that name."""
    side = part.positive
    said = side.casefold().split() if side else []
    ends = [end for end in part.between or () if said and said == end.casefold().split()[-len(said) :]]
    if len(ends) == 1 and len(said) < len(ends[0].split()):
        told = f"{quoted(side)} read as {quoted(ends[0])}"
        object.__setattr__(part, "positive", side.taken_as(str(ends[0]), told))
    return part
