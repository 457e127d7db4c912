"""Voltage readings as written: runs, their conditions, and a value for each electrode, pin or rail."""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Annotated, Any

from pydantic import ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..line_items import items
from ..most_entries import MOST_SLIPS, too_many_slips
from ..piecemeal import kept_without
from ..problems import quoted
from ..quantities import Quantity
from ..said_readings import (
    meters_behind,
    with_brackets_as_note,
    with_its_meter,
    without_meters,
)
from ..section import Section, collected, form, refused
from ..text import NOWHERE, Text, line_column_of
from ..unknown import joined_comma
from ..values import (
    Current,
    Date,
    Name,
    OfTubes,
    Ratio,
    Reads,
    TubeName,
    Wording,
    as_text,
    read_as,
)
from .meter import Meter, MeterField
from .run_words import with_line_alone, with_points_as_meant
from .said_of_tubes import of_both_plates, with_current_as_note, with_ripple_apart, with_words_as_note

_BARE = re.compile(r"[<>≤≥~]?\s*[-+−–]?(?:\d[\d\s]*(?:[.,]\d+)?|[.]\d+)(\s*(?:AC|DC|ac|dc)|~)?$")
_VALUE_BEGINS = re.compile(r"(?<=\s)(?:[<>≤≥~+−–.,\d-]|(?:x|n/r|o\.?/?l\.?|0\.l\.?|over\S*)(?=\s|$))", re.I)
_OPEN = frozenset({"inf", "infinite", "infinity", "open", "∞", "ol", "o.l.", "0.l.", "o/l"})
_OHMS = re.compile(
    r"\d+[kRM]\d{1,2}$|[<>≤≥~]?\s*(?:\d[\d\s]*(?:[.,]\d+)?|[.]\d+)\s*(?:k|meg|ohms?|kohms?|megohms?|R|M|kΩ|MΩ|Ω)?$|inf\w*$|open$|∞$",
    re.I,
)
_OHMS_BEGIN = re.compile(r"(?<=\s)(?:[<>≤≥~.,\d]|(?:x|n/r|inf\w*|open|∞|o\.?/?l\.?)(?=\s|$))", re.I)
_IN_PIN_ORDER = re.compile(r"\S+(?:\s+(?:AC|DC)\b)?", re.I)
ELECTRODE_BEGINS = re.compile(
    r"(?:plates?|anodes?|pl|an|gr|grids?|screens?|scrn?|cathodes?|cath|suppressor|target|diodes?|heaters?|filaments?|pin|osc\w*|signal|control"
    r"|injection|triode|pentode|hexode|heptode|mixer|top|op|s|[UV]?a[tph12]?|[UV]?g\d?(?:\+?g?\d)*|[UV]?gt|[UV]?k[12]?|[UV]?sg|p|ray)(?=[\s\d]|$)",
    re.I,
)
"""How an electrode begins, so that what stands before it was the reading of another."""
_VALUE = re.compile(r"[<>≤≥~+−–-]?[.,]?\d|x$|OL$|open$|inf", re.I)
_BOTH = re.compile(
    r"pin\s+(?P<pin>\d{1,2})\s+(?P<name>\D.*)$|(?P<name2>\D.*?)[\s(]+(?:pin\s+|p)(?P<pin2>\d{1,2})\)?$", re.I
)
_PIN_AND_NAME = re.compile(r"\d{1,2}\s+[A-Za-z][\w ]*\s(?:[<>≤≥~+−–-]?\s*[.,]?\d|x$|inf|open$|∞)")
_ELECTRODE_BEHIND = re.compile(
    r"(?P<value>[<>≤≥~]?\s?[-+−–]?(?:\d[.,\d]*|[.]\d+)(?:\s?(?:V|volts?))?(?:\s?(?:AC|DC)|~)?)"
    rf"\s*(?:=|\b(?:at|on)\b)\s*(?:the\s+)?(?P<at>{ELECTRODE_BEGINS.pattern}[^\d=]*\d?)",
    re.I,
)
"""A reading with its electrode behind it: ``71 V at plate``, ``191 = cathode``."""
_Read = Callable[[Any], Quantity | None]
_STROKED = re.compile(r"(?P<first>[-+−–]?[.\d][.,\d]*)(?:\s?/\s?(?:[-+−–]?[.\d][.,\d]*|x))+", re.I)
"""Values of several electrodes with strokes between and no electrode said."""
_TWO_NUMBERS = re.compile(r"[-+−–]?\d{1,3}\s+\d{3}\s*(?:V|volts?)?", re.I)
"""Among readings no thousands: ``250 (240)`` are two of one place."""
_SIGNS = frozenset("-+−–")
_NOT_READ = frozenset({"x", "X", "-", "–", "n/r"})


class Reading(Section):
    """One reading. ``at`` is an electrode in words or a pin number, empty for a rail; ``value`` None where not read.

    ``pin 5 plate`` gives both: ``pin`` is 5 then. ``meter`` is the one, or the range of the list's, that is written in
    brackets behind it.
    """

    at: Wording
    pin: Wording | None = None
    value: Annotated[Quantity | None, Reads(lambda value: read_reading(value), TEXT_SCHEMA)] = None
    meter: MeterField | None = None


def reading(at: Text, value: Quantity | None, meter: Meter | None = None) -> Reading:
    """A reading at a place as written; of ``pin 5 plate`` and ``plate, pin 5`` the electrode is the place."""
    match, read = _BOTH.match(at), {"value": value, "meter": meter}
    if match is None:
        return Reading.model_validate({"at": at, **read})
    name, number = ("name", "pin") if match["name"] else ("name2", "pin2")
    return Reading.model_validate({"at": at.cut(*match.span(name)), "pin": at.cut(*match.span(number)), **read})


def read_reading(value: Any) -> Quantity | None:
    """A reading's value. A bare number is volts; volts mean DC unless ``AC`` stands beside them; ``x`` is not read."""
    if value is None or isinstance(value, Quantity):
        return value
    text = as_text(value)
    if text in _NOT_READ:
        return None
    if "@" in text[1:]:
        remedy = "write each in a list of its own, with “controls:” and where the dial stood"
        raise refused(f"{quoted(text)}, readings at several settings", "one reading", remedy, at=text)
    if _TWO_NUMBERS.fullmatch(text):
        remedy = "write the one that was read, and the other in a list of its own"
        raise refused(quoted(" ".join(text.split())), "one reading, and not two beside each other", remedy, at=text)
    return read_as(text, "voltage", bare="V")


def _read_points(value: Any, read: Callable[[Any], Quantity | None] = read_reading) -> tuple[Reading, ...]:
    """``plate 90, cathode 0`` by electrode, ``5.9 0 x x 0 92.6 113`` in pin order, or a mapping of either."""
    errors: list[PydanticCustomError | ValidationError] = []
    if isinstance(value, list | tuple) and len(value) == 1:
        value = value[0]
    if isinstance(value, dict):
        pairs = [(k if isinstance(k, Text) else Text(str(k)), *with_its_meter(v)) for k, v in value.items()]
    elif isinstance(value, list | tuple):
        of_pins = ((Text(str(pin), line_column_of(v) or NOWHERE), v) for pin, v in enumerate(value, 1))
        pairs = [(at, *with_its_meter(v)) for at, v in of_pins]
    else:
        pairs = list(_pairs(as_text(value), errors, read))
    readings: dict[str, Reading] = {}
    for at, written, meter in pairs:
        if _enough(errors, at or written):
            break
        if at and at.casefold() in readings:
            errors.append(
                refused(f"{quoted(at)} a second time", "one reading for each electrode", "delete one of them", at=at)
            )
            continue
        try:
            readings[at.casefold()] = reading(at, read(written), meter)
        except (PydanticCustomError, ValidationError) as error:
            errors.append(error)
    if errors and not (readings and kept_without(errors)):
        raise collected(errors)
    return tuple(readings.values())


def _enough(errors: list[PydanticCustomError | ValidationError], at: object) -> bool:
    """Whether no more slips of a line are told; that it has more is."""
    if len(errors) == MOST_SLIPS:
        errors.append(refused(*too_many_slips(), at=at))
    return len(errors) > MOST_SLIPS


def _pairs(
    written: Text, errors: list[PydanticCustomError | ValidationError], read: _Read
) -> Iterator[tuple[Text, Any, Meter | None]]:
    text, beside = without_meters(written)
    words = [text.cut(*m.span()) for m in _IN_PIN_ORDER.finditer(text)]
    if len(words) == 2 and _BARE.match(words[0]) and words[1] in _SIGNS:
        words = [text]  # no tube has two pins: it is one value, whose sign stands behind it
    if len(words) > 1 and all(_is_value(w) or (read is read_ohms and _OHMS.match(w)) for w in words):
        meters = meters_behind(words, text, beside)
        yield from ((Text(str(pin), w.place), w, of) for pin, (w, of) in enumerate(zip(words, meters, strict=True), 1))
        return
    parts = [part for item in items(text) for part in _in_a_row(item)]
    for item, meter in zip(parts, meters_behind(parts, text, beside), strict=True):
        if _enough(errors, item):
            return
        try:
            if read is read_reading and (both := of_both_plates(item)):
                yield from ((*pair, meter) for pair in both)
                continue
            yield (*_pair(item, read, alone=len(parts) == 1), meter)
        except PydanticCustomError as error:
            errors.append(error)


def _in_a_row(item: Text) -> Iterator[Text]:
    """The readings of an item that stand in a row, with strokes or nothing between: ``plate 92 screen 90``."""
    start, last, valued, before = 0, 0, False, ""
    for word in re.finditer(r"\S+", item):
        if valued and ELECTRODE_BEGINS.match(item, word.start()):
            yield item.cut(start, last if before == "/" else word.start())
            start, valued = word.start(), False
        numbers_a_pin = before.casefold() == "pin"
        valued = valued or bool(word.start() > start and not numbers_a_pin and _VALUE.match(word[0]))
        before, last = word[0], word.start()
    yield item.cut(start)


def _pair(item: Text, read: _Read, *, alone: bool) -> tuple[Text, Any]:
    if not item:
        expected = "an electrode and a value between the commas"
        raise refused("a comma with nothing beside it", expected, "delete the comma", at=item)
    if joined := joined_comma(item):
        parted = f"{item[: joined.start()]}, {item[joined.end() :]}"
        found = f"{quoted(item)}, a comma with no blank behind it"
        raise refused(found, "a comma and a blank", f"write {quoted(parted)}", at=item.cut(joined.start()))
    if stroked := _STROKED.fullmatch(item):
        remedy = f"write {quoted('plate ' + stroked['first'])}, and so on, or every pin in order with blanks between"
        raise refused(quoted(item), "the electrode before each value", remedy, at=item)
    if behind := _ELECTRODE_BEHIND.fullmatch(item):
        return item.cut(*behind.span("at")), item.cut(*behind.span("value"))
    if alone and (_is_value(item) or _reads(item, read)):
        return Text("", item.place), item
    begins = _VALUE_BEGINS if read is read_reading else _OHMS_BEGIN
    for start in begins.finditer(item):
        value = item.cut(start.start())
        if (_is_value(value) or _reads(value, read)) and not _numbers_an_electrode(value, read):
            return item.cut(0, start.start()), value
    expected = "volts, such as “plate 92.4”" if read is read_reading else "ohms, such as “plate 350”"
    raise refused(quoted(item), f"an electrode and its {expected}", at=item)


def _numbers_an_electrode(value: Text, read: _Read) -> bool:
    """Whether a value begins with a number of the electrode's name: ``plate 1 340``, ``pin 5 plate 92.4``."""
    if _PIN_AND_NAME.match(value):
        return True
    number = re.match(r"\d\s+(?![-+−–]\s)", value)
    rest = value.cut(number.end()) if number else None
    return rest is not None and (_is_value(rest) or _reads(rest, read))


def _is_value(text: Text) -> bool:
    return text in _NOT_READ or bool(_BARE.match(text)) or text.upper() in ("OL", "O.L.", "0.L")


def _reads(text: Text, read: _Read) -> bool:
    try:
        read(text)
    except ValueError:
        return bool(re.match(r"[<>≤≥~]?\s*[-+−–]?[.,]?\d", text))
    return True


_POINTS_SCHEMA: dict[str, Any] = {
    "if": {"type": "object"},
    "then": {"additionalProperties": TEXT_SCHEMA},
    "else": one_or_more(TEXT_SCHEMA),
}
Points = Annotated[
    tuple[Reading, ...],
    Reads(_read_points, _POINTS_SCHEMA),
]


def read_ohms(value: Any) -> Quantity | None:
    """A resistance to the reference point. A bare number is ohms; ``inf`` and ``open`` are beyond any range."""
    if value is None or isinstance(value, Quantity):
        return value
    text = as_text(value)
    if text in _NOT_READ:
        return None
    if text.casefold() in _OPEN:
        return Quantity(si=None, unit="ohm", qualifier="overrange", written=str(text), place=text.place)
    return read_as(text, "resistance", bare="ohm")


def _read_ohm_points(value: Any) -> tuple[Reading, ...]:
    """``plate 350, grid 470k`` by electrode, ``150 470k 12 12 470k 22k 310`` in pin order, or a mapping of either."""
    return _read_points(value, read_ohms)


OhmPoints = Annotated[
    tuple[Reading, ...],
    Reads(_read_ohm_points, _POINTS_SCHEMA),
]


LineAtReading = Annotated[Quantity, Reads(lambda value: read_as(value, "voltage", bare="V"), TEXT_SCHEMA)]
"""The line at a reading, where a bare number is volts as everywhere in a list of readings."""


class Run(Section):
    """One list of readings and the conditions it was taken under."""

    FORM = form(["table", "from"], rest="note", needs=("table", "from"))
    OTHERS = "points"
    SYNONYMS = {"mains": "line", **dict.fromkeys(("voltage selector", "selector"), "mains selector")}

    line: LineAtReading | None = None
    mains_selector: Wording | None = None
    meter: MeterField | None = None
    to: Wording | None = None
    from_: Wording | None = None
    table: Wording | None = None
    date: Date | None = None
    tolerance: Ratio | None = None
    currents: dict[Name, Current] = {}
    controls: Wording | None = None
    after: Wording | None = None
    note: Wording | None = None
    resistance: Annotated[dict[TubeName, OhmPoints], OfTubes] = {}
    points: Annotated[dict[TubeName, Points], OfTubes] = {}

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Words said of a tube, ``5Z4: dead, no B+``, and those in brackets behind a reading are the list's note."""
        table = super()._table(data, errors)
        if table is None:
            return None
        own = frozenset(name.casefold() for name in (*cls.names(), *cls.SYNONYMS))
        table = with_points_as_meant(with_current_as_note(with_line_alone(table)), own)
        table = with_ripple_apart(with_words_as_note(table, own), own)
        return with_brackets_as_note(table, own)

    @classmethod
    def _near_miss(cls, written: str) -> bool:
        return written.casefold() in {"metre", "lines", "reference", "tables", "note:", "notes", "control"}
