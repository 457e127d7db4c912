"""The kinds of value a record's fields hold, each read from text and refused in our own words."""

from __future__ import annotations

import dataclasses
import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from .line_form import listed
from .problems import Nearest, one_of, quoted
from .quantities import AmbiguousQuantity, Quantity, QuantityError, read_quantity
from .section import Section, described, refused
from .text import LineColumn, Text
from .unknown import kind_by_unit, noun

TEXT_SCHEMA: dict[str, Any] = {"type": ["string", "number", "boolean"]}
"""What an editor may take a written value for: ``80`` and ``no`` are text to us, a number and a boolean to it."""


class Reads:
    """How a field's value is read: a function from what was written to the value, and the field's published schema.

    It stands in an ``Annotated`` type. (The library's own validator objects do the same and take three times as long to
    set up, and every run of a command sets up some three hundred.)
    """

    def __init__(self, read: Callable[[Any], Any], published: Mapping[str, Any]) -> None:
        self.read = read
        self.published = published

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return dict(self.published)


STANDS_FOR = "benchleaf:section"
"""The key that stands in a field's schema for the schema of a section, until the whole is put together."""


def schema_of(section: type[Section]) -> dict[str, Any]:
    """What stands in a field's schema for the schema of a section."""
    return {STANDS_FOR: section.__name__}


def one_or_more(schema: JsonSchemaValue) -> JsonSchemaValue:
    """The schema of one thing or a list of them."""
    return {"anyOf": [schema, {"type": "array", "items": schema}]}


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
    known = {w.casefold(): w for w in words} | {k.casefold(): v for k, v in (synonyms or {}).items()}

    def read(value: Any) -> Text:
        text = as_text(value)
        found = known.get(" ".join(text.split()).casefold())
        if found is None:
            raise refused(
                quoted(text), one_of(map(quoted, words)), Nearest(str(text), (*words, *(synonyms or {}))), at=text
            )
        return Text(found, text.place)

    schema = {"anyOf": [{"enum": list(words)}, {"type": ["string", "boolean"]}]}
    return Annotated[Text, Reads(read, schema)]


_FEW_READINGS = 6


def read_as(value: Any, *kinds: str, bare: str | None = None) -> Quantity:
    """A quantity of the first of ``kinds`` that fits, with its place. ``bare`` is the unit of a number without one."""
    text = as_text(value)
    doubtful: list[AmbiguousQuantity] = []
    unreadable: list[QuantityError] = []
    for kind in kinds:
        try:
            return dataclasses.replace(read_quantity(str(text), kind, bare=bare), place=text.place)
        except AmbiguousQuantity as error:
            doubtful.append(error)
        except QuantityError as error:
            unreadable.append(error)
    first = (doubtful or unreadable)[0]
    expected = first.expected if len(kinds) == 1 else one_of(noun(kind) for kind in kinds)
    if len(doubtful) > 1:
        raise refused(quoted(text), expected, _question(doubtful), at=text)
    if doubtful or len(kinds) == 1:
        raise refused(quoted(text), expected, first.remedy, at=text)
    kind = kind_by_unit(text)
    found = f"{quoted(text)}, {noun(kind)}" if kind else quoted(text)
    raise refused(found, expected, "" if kind else "write the number first, then its unit", at=text)


def _question(doubtful: list[AmbiguousQuantity]) -> str:
    """The remedy for a text that could be a value of several kinds, with its readings in each."""
    readings = list(dict.fromkeys(reading for error in doubtful for reading in error.readings))
    reason = doubtful[0].args[2]
    return f"{reason}: write {one_of(readings)}" if len(readings) <= _FEW_READINGS else f"{reason}: write the unit"


def quantity(*kinds: str) -> Any:
    """A quantity of one of ``kinds``."""
    return Annotated[Quantity, Reads(lambda value: read_as(value, *kinds), TEXT_SCHEMA)]


Capacitance = quantity("capacitance")
Resistance = quantity("resistance")
Inductance = quantity("inductance")
Voltage = quantity("voltage")
Current = quantity("current")
Power = quantity("power")
Frequency = quantity("frequency")
Ratio = quantity("ratio")
Duration = quantity("duration")
Length = quantity("length")
PartValue = quantity("capacitance", "resistance", "inductance")
AnyValue = quantity(
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
)

_DAY = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})\Z", re.ASCII)


class Day(datetime.date):
    """A day that knows where it was written."""

    place: LineColumn | None = None


def _read_day(value: Any) -> datetime.date:
    if isinstance(value, datetime.date):
        return value
    text = as_text(value)
    match = _DAY.match(text)
    if match:
        try:
            day = Day(*map(int, match.groups()))
            day.place = text.place
            return day
        except ValueError:
            raise refused(quoted(text), "a day that exists", "check month and day", at=text) from None
    raise refused(quoted(text), "a date such as 2026-03-28", "write year, month and day with hyphens", at=text)


Date = Annotated[datetime.date, Reads(_read_day, {"type": "string"})]
"""A calendar date, written year-month-day (ISO 8601)."""


def _read_names(value: Any) -> tuple[Text, ...]:
    several = isinstance(value, list | tuple)
    names = [as_text(v) for v in value] if several else listed(as_text(value))
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


def _read_order(value: Any) -> tuple[Text, ...]:
    """Names of a string; ``V2 beside V3`` are two that make one member."""
    found: list[Text] = []
    for item in _read_names(value):
        start = 0
        for joint in [*_BESIDE.finditer(item), None]:
            name = item.cut(start, joint.start() if joint else None)
            found.append(Beside(name, name.place) if start else name)
            start = joint.end() if joint else start
    return tuple(found)


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
