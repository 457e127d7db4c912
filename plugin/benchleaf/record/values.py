"""The kinds of value a record's fields hold, each read from text and refused in our own words."""

from __future__ import annotations

import dataclasses
import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import Annotated, Any

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from .editor_schema import TEXT_SCHEMA, one_of_words, one_or_more
from .kinds.of_parts import OF_OLD_SHEETS
from .line_items import listed
from .line_values import kind_of_part
from .problems import Nearest, one_of, quoted
from .quantities import AmbiguousQuantity, Quantity, QuantityError, read_quantity
from .section import Section, described, refused
from .settled import possible, settled
from .text import LineColumn, Text
from .unknown import kind_by_unit, noun
from .written_days import UnclearDayError, lacks_its_year, leaves_its_order_open, read_date


class Reads:
    """How a field's value is read: a function from what was written to the value, and the field's published schema.

    The schema may be a function that makes it: only ``benchleaf schema`` asks for it.

    It stands in an ``Annotated`` type. (The library's own validator objects do the same and take three times as long to
    set up, and every run of a command sets up some three hundred.)
    """

    def __init__(self, read: Callable[[Any], Any], published: JsonSchemaValue | Callable[[], JsonSchemaValue]) -> None:
        self.read = read
        self.published = published

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return self.published() if callable(self.published) else dict(self.published)


STANDS_FOR = "benchleaf:section"
"""The key that stands in a field's schema for the schema of a section, until the whole is put together."""


def schema_of(section: type[Section]) -> dict[str, Any]:
    """What stands in a field's schema for the schema of a section."""
    return {STANDS_FOR: section.__name__}


def as_text(value: Any) -> Text:
    """A scalar as text; a list or table is refused."""
    if isinstance(value, Text):
        return value
    if isinstance(value, str | int | float):
        return Text(str(value))
    raise refused(described(value), "one line of text", at=value)


Wording = Annotated[Text, Reads(as_text, TEXT_SCHEMA)]
"""Free text."""


def choice(*words: str, synonyms: Mapping[str, str] | None = None) -> Any:
    """One of ``words``; capitals do not matter. ``synonyms`` gives other words for some of them."""
    others = synonyms or {}
    published = partial(one_of_words, words, others)
    return Annotated[Text, Reads(lambda value: read_choice(as_text(value), words, others), published)]


def read_choice(text: Text, words: tuple[str, ...], synonyms: Mapping[str, str]) -> Text:
    """The one of ``words`` that a text means, by itself or by a synonym."""
    known = {w.casefold(): w for w in words} | {k.casefold(): v for k, v in synonyms.items()}
    found = known.get(" ".join(text.split()).casefold())
    if found is None:
        raise refused(quoted(text), one_of(map(quoted, words)), Nearest(str(text), (*words, *synonyms)), at=text)
    return text.read_as(found)


_FEW_READINGS = 6


def read_as(value: Any, *kinds: str, bare: str | None = None) -> Quantity:
    """A quantity of the first of ``kinds`` that fits, with its place. ``bare`` is the unit of a number without one.

    What a text's manner settles is taken so: of a part whose letters say what it is, a doubt is asked in its own kind.
    """
    text = as_text(value)
    own = kind_of_part(text.manner.part)
    ordered = (own, *(kind for kind in kinds if kind != own)) if own in kinds else kinds
    try:
        written, remark = settled(str(text), kinds, text.manner)
    except AmbiguousQuantity as error:
        raise refused(quoted(text), error.expected, _question([error], ""), at=text) from None
    doubtful: list[AmbiguousQuantity] = []
    unreadable: list[QuantityError] = []
    for kind in ordered:
        try:
            found = read_quantity(written, kind, bare=bare or text.manner.unit or None)
        except AmbiguousQuantity as error:
            doubtful.append(error)
            if kind == own:
                break
        except QuantityError as error:
            unreadable.append(error)
        else:
            plain = text.manner.millions or not text.manner.american
            told = "" if found.remark == OF_OLD_SHEETS and plain else found.remark
            said = next((words for _, words in text.remarks), "")
            return dataclasses.replace(found, written=str(text), place=text.place, remark=remark or told or said)
    first = (doubtful or unreadable)[0]
    of_own = own in kinds and bool(doubtful)
    expected = first.expected if len(kinds) == 1 or of_own else one_of(noun(kind) for kind in kinds)
    if doubtful and (of_own or len(doubtful) > 1):
        raise refused(quoted(text), expected, _question(doubtful, own if of_own else ""), at=text)
    if doubtful or len(kinds) == 1:
        raise refused(quoted(text), expected, first.remedy, at=text)
    kind = kind_by_unit(text)
    found_said = f"{quoted(text)}, {noun(kind)}" if kind else quoted(text)
    raise refused(found_said, expected, "" if kind else "write the number first, then its unit", at=text)


def _question(doubtful: list[AmbiguousQuantity], own: str) -> str:
    """The remedy for a text that could be several values, with each; of a part only those of its ``own`` kind."""
    readings = list(dict.fromkeys(reading for error in doubtful for reading in error.readings))
    readings = list(possible(readings, own)) if own else readings
    reason = doubtful[0].args[2]
    return f"{reason}: write {one_of(readings)}" if len(readings) <= _FEW_READINGS else f"{reason}: write the unit"


class ReadsBefore:
    """What is done to a value before its type reads it, and what that makes of the type's published schema."""

    def __init__(self, read: Callable[[Any], Any], published: Callable[[JsonSchemaValue], JsonSchemaValue]) -> None:
        self.read = read
        self.published = published

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return self.published(handler(core))


OneOrMore = ReadsBefore(
    lambda value: (value,) if isinstance(value, Text) else value, lambda made: one_or_more(made["else"]["items"])
)
"""Lines in a list, or one line that stands for a list of one."""


def quantity(*kinds: str) -> Any:
    """A quantity of one of ``kinds``."""
    return Annotated[Quantity, Reads(lambda value: read_as(value, *kinds), TEXT_SCHEMA)]


Capacitance = quantity("capacitance")
Resistance = quantity("resistance")
Inductance = quantity("inductance")
Voltage = quantity("voltage")
VoltsRead = Annotated[Quantity, Reads(lambda value: read_as(value, "voltage", bare="V"), TEXT_SCHEMA)]
"""Volts where nobody means another size: a bare number is volts, at the line and of what a part was tested at."""
OhmsRead = Annotated[Quantity, Reads(lambda value: read_as(value, "resistance", bare="ohm"), TEXT_SCHEMA)]
"""Ohms where nobody means another size, as an ESR: a bare number is ohms."""
Current = quantity("current")
Power = quantity("power")
Frequency = quantity("frequency")
DialReading = quantity("frequency", "length")
Ratio = quantity("ratio")
Duration = quantity("duration")
Length = quantity("length")
PartValue = quantity("capacitance", "resistance", "inductance")
ANY_KINDS = (
    "voltage",
    "current",
    "power",
    "frequency",
    "resistance",
    "capacitance",
    "inductance",
    "ratio",
    "duration",
    "temperature",
    "turns ratio",
    "level",
    "field strength",
)
AnyValue = quantity(*ANY_KINDS)


class Day(datetime.date):
    """A day that knows where it was written, and how it was taken where that is to be told."""

    place: LineColumn | None = None
    remark: str = ""


def _read_day(value: Any) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    text = as_text(value)
    try:
        return day_of_text(text)
    except UnclearDayError as question:
        raise refused(quoted(text), question.expected, question.remedy, at=text) from None


def day_of_text(text: Text) -> Day:
    """The day that a text means, as the record writes its dates. Raises UnclearDayError."""
    day = Day(*read_date(text, text.manner.slash_dates, text.manner.days).timetuple()[:3])
    day.place = text.place
    if lacks_its_year(text):
        day.remark = f"{quoted(text)} read as {day.isoformat()}, the only one between the record's other days"
    elif (told := text.manner.slash_told) and leaves_its_order_open(text):
        day.remark = f"{quoted(text)} read as {text.manner.slash_dates}, {told}"
    return day


Date = Annotated[datetime.date, Reads(_read_day, TEXT_SCHEMA)]
"""A calendar date, best written year-month-day (ISO 8601); `dates` has every way that is read."""


def _read_names(value: Any) -> tuple[Text, ...]:
    names = [as_text(v) for v in value] if isinstance(value, list | tuple) else listed(as_text(value))
    if not names:
        raise refused("no names", "one or more, with a comma and a blank between them", at=value)
    return tuple(names)


def _read_pins(value: Any) -> tuple[Text, ...]:
    """Electrodes in pin order, with blanks or commas between: ``h k g1 p h``."""
    names = _read_names(value)
    if len(names) == 1:
        names = tuple(names[0].cut(*word.span()) for word in re.finditer(r"\S+", names[0]))
    if len(names) < 2:
        expected = "the electrode of every pin in order, with blanks between, such as “h k g p h”"
        raise refused(described(value), expected, "write “nc” for a pin without one", at=value)
    return names


class Beside(Text):
    """A name that stands side by side with the name before it: ``V3`` in ``V1, V2 beside V3``."""


_BESIDE = re.compile(r"\s+(?:beside\s|[∥+]\s)\s*", re.I)
_MEMBER = re.compile(r"(?:pilot|dial|scale)\s+lamps?|(?:line|mains|resistance|resistor)\s+cord|\S+", re.I)
_CORD = re.compile(r"(?:(?:line|mains|resistance|resistor)\s+)?(?:cord|resistor)", re.I)
"""What drops the rest of the line in a string, by another word than dropper."""
_DASHED = re.compile(r"[^\s–→>-]+")
_JOINTS = frozenset({"-", "–", "→", "->"})
_NO_TUBES = frozenset({"cord", "lamp", "lamps", "dropper", "pilot", "dial", "ballast"})


def _read_order(value: Any) -> tuple[Text, ...]:
    """Names of a string, with or without commas; ``V2 beside V3`` are two that make one member."""
    found: list[Text] = []
    for item in _read_names(value):
        start = 0
        for joint in [*_BESIDE.finditer(item), None]:
            members = _members(item.cut(start, joint.start() if joint else None))
            first = members[0]
            found.append(Beside(first, first.place) if start else first)
            found += members[1:]
            start = joint.end() if joint else start
    return tuple(found)


def _members(name: Text) -> list[Text]:
    """The members of a string that stand in a row with blanks between; one where any of them is no member."""
    found = (_MEMBER if " " in name else _DASHED).finditer(name)
    words = [name.cut(*word.span()) for word in found if word[0] not in _JOINTS]
    every = all(name.manner.position(w) or set(w.casefold().split()) & _NO_TUBES for w in words)
    return [_position(word) for word in words] if len(words) > 1 and every else [_position(name)]


def _position(name: Text) -> Text:
    """A tube named by its type, by its position; any other name as it is."""
    if _CORD.fullmatch(name):
        return name.taken_as("dropper", f"{quoted(name)} read as “dropper”")
    position = name.manner.position(name)
    return name.taken_as(position) if position and position != name else name


def string_members(order: Iterable[Text]) -> list[str]:
    """The members of a string as written: names that stand side by side are one member, ``V2 beside V3``."""
    members: list[str] = []
    for name in order:
        if isinstance(name, Beside) and members:
            members[-1] += f" beside {name}"
        else:
            members.append(str(name))
    return members


StringOrder = Annotated[tuple[Text, ...], Reads(_read_order, one_or_more(TEXT_SCHEMA))]
"""The order of a string: ``V1, V2 beside V3, V4``. A name beside the one before it is a ``Beside``."""

Pins = Annotated[
    tuple[Text, ...],
    Reads(_read_pins, one_or_more(TEXT_SCHEMA)),
]
"""A base's electrodes in pin order: ``h k g1 p h``."""

Name = Annotated[Text, Reads(as_text, {"type": "string"})]
"""The name of an entry: ``V1``, ``C7``, ``B+1``."""

TubeName = Annotated[Text, Reads(lambda value: _position(as_text(value)), {"type": "string"})]
"""The name of an entry about a tube: its position, or its type where that stands in the set once."""


def _each_tube_once(value: Any) -> Any:
    """Entries about tubes as they are; a tube by its position and by its type is asked: one would be lost."""
    seen: dict[str, object] = {}
    for name in value if isinstance(value, dict) else ():
        position = name.manner.position(name) if isinstance(name, Text) else None
        if position and position in seen:
            found = f"{quoted(str(name))}, which is {quoted(str(seen[position]))} again"
            raise refused(found, "each tube once", "put both under one name", at=name)
        if position:
            seen[position] = name
    return value


OfTubes = BeforeValidator(_each_tube_once)
"""Of a mapping whose names are tubes: none is named twice in two ways."""
