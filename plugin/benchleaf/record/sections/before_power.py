"""Cold checks as written: what an ohmmeter showed on the unplugged set, before any power."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import JsonSchemaValue
from pydantic_core import InitErrorDetails

from ..line_items import body_and_remark, items
from ..line_values import Spans, value_at, words_of
from ..piecemeal import noted
from ..problems import quoted
from ..section import Section, refused
from ..text import Entries, Listing, Text
from ..values import Date, Resistance, Voltage, Wording
from ..written_days import lacks_its_year, looks_like_a_date, opening_day
from .cold_words import ABOUT, BELOW, BEYOND, HOW_IT_STOOD
from .leaked import insulation_in_m

_OPEN = re.compile(r"\b(?:no (?:path|reading|continuity|connection)|infinite|infinity|not connected|0L)$", re.I)
_WORD = re.compile(r"(?<=\s)(?:open|o/c|OL|overrange|short|s/c|∞)(?!\S)(?! (?:circuit|ed)\b)", re.I)
"""A reading that is no number."""
_NUMBER = r"\d+(?:[.,]\d+)?"
_HALVES = re.compile(
    r"\b(?:winding|primary|pri|secondary|sec|halves|plates|anodes|h\.?[tv]\.?)\.?\s*:?\s+"
    rf"(?P<both>(?P<one>{_NUMBER})(?:\s?(?:ohms?|Ω))?\s*(?:\+|and|&)\s*(?P<other>{_NUMBER})(?:\s?(?:ohms?|Ω|R)(?!\w)|(?=\s*(?:,|;|\Z))))",
    re.I,
)
"""Both halves of a winding with a tap in the middle: ``HT winding 240 + 255 ohms``."""
_HALVES_APART = 1.5
"""The outer half of a winding has longer turns, and more ohms by less than this (common practice, no source)."""
_BEFORE_ANOTHER = re.compile(rf"(?<!\S){_NUMBER}\s*(?:\+|and|&)\s*\Z")
"""A number without its unit, joined to the value behind it."""
_BARE_OHMS = re.compile(r"(?<=\s)(?<!\.)[1-9]\d{3,5}\Z")
"""A whole number of a thousand or more between two places, as on a resistor: ``B+2 to B- 7700``."""
_OF_A_WINDING = re.compile(
    r"\b(?:voice coil|speech coil|primary|secondary|field(?: coil| winding)?|heater string|winding)\s*:?\s+"
    r"(?P<ohms>\d{1,4}(?:[.,]\d{1,2})?|[.]\d{1,2})\Z",
    re.I,
)
"""A number without a unit behind a winding, whose wire has ohms and neither kilohms nor megohms."""
_ANOTHER_NUMBER = re.compile(r"(?<![\w.])\.?\d")
"""A number that stands by itself: before that of a winding it may be another winding's."""
_AS_OHMS = "a number without its unit, read as ohms of a winding"
_SHORT = re.compile(r"\b(?:dead short|shorted|a short)$", re.I)
_OF_A_PIN = re.compile(r"\b(?:pins?|tags?|lugs?|sections?|no\.?)$", re.I)
_UNIT_NEXT = re.compile(r"(?:[kKMR]|k?ohms?|meg\w*|Ω|kΩ|MΩ)\b|Ω", re.I)
_BOUND = re.compile(r"\s*(?P<sign>[<>≤≥~])\s*$")
_INSULATION = re.compile(r"\b(?:insul\w*|isolation\w*|megger\w*|megged)\b", re.I)
_AT = re.compile(r"(?:at|@|with|on)?\s*(?P<volts>[\d.,]+\s?(?:V|volts?)(?:\s?DC)?)(?:\s+(?:range|test|megger))?$", re.I)
_ENDS_IN_A_NUMBER = re.compile(r"[^\W\d]\S*\s+[.\d][\d.,]*(?:\s?[^\W\d]+)?$")
_LAST_WORDS = re.compile(r"\s*[.\d][\d.,]*(?:\s?[^\W\d]+)?$")
_LATER = re.compile(r"(?:climb\w*|ris\w+|fall\w*|dropp\w*|then|later|after|charging)\b", re.I)
"""Before what a meter came to behind its first reading: ``14 K, climbing to 38 K``."""
_LINKING = re.compile(r"[\s:=]+(?:is|was|reads?|shows?|measures?|measured|gone|[-–—])?\s*[:=]?$", re.I)
_UNIT = "the ohms with their unit, “open” or “short”"
_AS_IN = "as in “B+1 to B- 18 k”"


class ColdReading(Section):
    """``2026-03-02, B+1 to B- 18 k``: ``of`` is what the meter lay at, ``at`` the volts of an insulation tester."""

    LINED = True
    SYNONYMS = {"between": "of", "what": "of", "across": "of", "reading": "ohms", "measured": "ohms", "read": "ohms"}

    date: Date | None = None
    of: Wording
    ohms: Resistance
    at: Voltage | None = None
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A line is here only where it could not be read: ``read_before_power`` has read every other."""
        if not isinstance(data, Text):
            return super()._table(data, errors)
        found = f"{quoted(data)} without a reading"
        error = refused(found, f"what was measured, and {_UNIT}", _AS_IN, at=data, wanting=True)
        errors.append({"type": error, "loc": (), "input": data})
        return None


def read_before_power(value: Any) -> Any:
    """The list of readings; also where what was measured stands as a name, below a day or beside one.

    A line may hold several readings, each behind a comma, and begin with their day, which the lines without one behind
    it have too.
    """
    found = Listing(getattr(value, "place", (1, 1)))
    if isinstance(value, Text):
        found += _of_line(value, None)
    elif isinstance(value, Listing):
        day: Text | None = None
        for row, next_row in zip(value, [*value[1:], None], strict=False):
            if isinstance(row, Text) and _is_a_day(row) and next_row is not None:
                day = row
                continue
            read = _of_row(row, day)
            day = _day_of(read[-1]) or day if isinstance(row, Text) else day
            found += read
    elif isinstance(value, Entries):
        found += _of_row(value)
    else:
        return value
    return found


def published_before_power(made: JsonSchemaValue) -> JsonSchemaValue:
    """Names may be what was measured, which an editor cannot know."""
    return {"anyOf": [made, {"type": ["object", "string"]}, {"type": "array"}]}


def _of_row(row: Any, day: Text | None = None) -> list[Any]:
    if isinstance(row, Text):
        return _of_line(row, day)
    if not isinstance(row, Entries) or _is_careful(row):
        return [row]
    found: list[Any] = []
    day = next((v for k, v in row.items() if k.casefold() == "date" and isinstance(v, Text)), day)
    note = next((v for k, v in row.items() if k.casefold() == "note" and isinstance(v, Text)), None)
    for key, entry in row.items():
        if key.casefold() in ("date", "note"):
            continue
        if _is_a_day(key):
            rows = entry if isinstance(entry, Listing) else [entry]
            for each in rows:
                found += _of_row(each, key)
        elif isinstance(entry, Text):
            end = opening_day(key, with_year=True) or day_before_a_comma(key)
            of = key.cut(end).cut(1) if key[end : end + 1] in (",", ":") else key.cut(end)
            found.append(_named(of, entry, key.cut(0, end)) if end and of else _named(key, entry, day))
        else:
            found.append(row if not found else entry)
    if note is not None and found and isinstance(found[0], Entries):
        _noted(found[0], note)
    found += [Text(f"{key}", key.place) for key in row.empty]
    return found


def _day_of(read: Any) -> Text | None:
    day = read.get(Text("date")) if isinstance(read, Entries) else None
    return day if isinstance(day, Text) else None


def _is_a_day(text: str) -> bool:
    return looks_like_a_date(text) or lacks_its_year(text)


def _is_careful(row: Entries) -> bool:
    """Whether a mapping has the names of one reading."""
    names = {*ColdReading.names(), *ColdReading.SYNONYMS} - {"date", "note"}
    return any(" ".join(key.split()).casefold() in names for key in (*row, *row.empty))


def _of_line(line: Text, day: Text | None) -> list[Any]:
    """The readings of one line; the line itself where it holds none, so that it is asked."""
    (body,), remark = body_and_remark(line, None)
    if end := opening_day(body, with_year=True) or day_before_a_comma(body):
        day, rest = body.cut(0, end), body.cut(end)
        body = rest.cut(1) if rest[:1] in (",", ":") else rest
    found: list[Entries] = []
    asked: list[Text] = []
    before: Text | None = None
    how: list[Text] = []
    for item in items(body):
        if not (found or before) and HOW_IT_STOOD.fullmatch(item):
            how.append(item)
            continue
        if before is not None and (value := _value(item)) is not None:
            found.append(_one(before, value[0], day, line))
            _behind(found[-1], value[1])
            before = None
        elif (parted := _parted(item)) is not None:
            of, ohms, behind = parted
            if before is not None and _ends_in_a_number(before):
                asked.append(before)
                before = None
            if found and _LATER.match(of):
                _behind(found[-1], item)
                continue
            of = of if before is None else before.and_then(of)
            before = None
            found.append(_one(of, ohms, day, line))
            _behind(found[-1], behind)
        elif found and not _asks(item):
            _behind(found[-1], item)
        elif item:
            before = item if before is None else before.and_then(item)
    if not found or before is not None:
        if not found:
            return [line]
        asked.append(before or body)
    elif remark is not None:
        _noted(found[-1], remark)
    for one in found:
        for said in how:
            _noted(one, said)
    return [*found, *([] if asked and noted(asked) else asked)]


def day_before_a_comma(body: Text) -> int:
    """Where a day ends that the line begins with, and that a comma parts from the rest."""
    first = next(items(body))
    return len(first) if len(first) < len(body) and looks_like_a_date(first) else 0


def _asks(item: Text) -> bool:
    """Whether an item that holds no value looks like a reading that lacks its unit: ``T1 primary 32``."""
    return bool(re.search(r"[^\W\d]\S*\s+\d[\d.,]*$", item)) and not _AT.search(item)


def _ends_in_a_number(item: Text) -> bool:
    """Whether words end in what may be a reading whose unit is missing or none: ``B+1 to B- 18``, ``… 18 kilo``."""
    return _ENDS_IN_A_NUMBER.search(item) is not None and not _OF_A_PIN.search(_LAST_WORDS.sub("", item))


def _parted(item: Text) -> tuple[Text, Text, Text] | None:
    """What was measured, its ohms, and what stands behind them."""
    item = _in_signs(item)
    words = words_of(item, strokes=False)
    for index in range(1, len(words)):
        start = words[index][0]
        if _is_a_pin(item, words, index):
            continue
        found = value_at(item, words, index, {"resistance": "ohms"})
        if found is not None and not found.unit:
            if _BEFORE_ANOTHER.search(item[:start]):
                return None
            of, ohms, behind = _cut(item, start, words[index + found.words - 1][1])
            if _INSULATION.search(of) or _AT.search(behind):
                of, ohms = _of_insulation(of, ohms)
            return of, ohms.taken_as(str(ohms), _AS_OHMS) if _AS_OHMS in _said_of(item) else ohms, behind
    said = _WORD.search(item)
    return _cut(item, *said.span()) if said else None


def _of_insulation(of: Text, ohms: Text) -> tuple[Text, Text]:
    """Millions where ``M`` is all that says so, with the sign of a bound that stands before them."""
    sign = _BOUND.search(of)
    whole = Text(f"{sign['sign']} {ohms}", ohms.place).like(ohms) if sign else ohms
    read = insulation_in_m(whole)
    return (of.cut(0, sign.start()) if sign else of, read) if read is not None else (of, ohms)


def _said_of(item: Text) -> list[str]:
    return [remark for _, remark in item.remarks]


def _is_a_pin(item: Text, words: Spans, index: int) -> bool:
    """Whether a number behind “pin” is the pin's own, and the value comes yet: ``V4 pin 5 470 k``."""
    behind = item[words[index][1] :].strip()
    numbered = re.fullmatch(r"\d{1,2}", item[slice(*words[index])])
    return bool(numbered and behind[:1] and not _UNIT_NEXT.match(behind)) and bool(
        _OF_A_PIN.search(item[: words[index - 1][1]])
    )


def _cut(item: Text, start: int, end: int) -> tuple[Text, Text, Text]:
    of = item.cut(0, start)
    linked = _LINKING.search(of)
    return of.cut(0, linked.start()) if linked else of, item.cut(start, end), item.cut(end)


def _in_signs(item: Text) -> Text:
    """Words for a bound as the sign that the reader of quantities knows, each letter after it in its own column."""
    if (halves := _HALVES.search(item)) and _alike(halves):
        both = [float(halves[name].replace(",", ".")) for name in ("one", "other")]
        whole = f"{sum(both):g} ohm as {halves['one']} + {halves['other']} ohm"
        meant = f"{item[: halves.start('both')]}{whole}{item[halves.end() :]}"
        item = item.taken_as(meant, f"{quoted(halves['both'])} read as two halves in series")
    if (of_wire := _OF_A_WINDING.search(item)) and not _ANOTHER_NUMBER.search(item, 0, of_wire.start()):
        item = item.taken_as(f"{item} ohm", _AS_OHMS)
    elif bare := _BARE_OHMS.search(item):
        item = item.taken_as(f"{item} ohm", f"{quoted(bare[0])} read as ohms")
    for pattern, sign in ((BEYOND, ">"), (BELOW, "<"), (ABOUT, "~")):
        if said := pattern.search(item):
            item = item.taken_as(f"{item[: said.start()]}{sign:>{len(said[0])}}{item[said.end() :]}")
    for pattern, word in ((_OPEN, "open"), (_SHORT, "short")):
        if said := pattern.search(item):
            item = item.taken_as(f"{item[: said.start()]}{word}", f"“{said[0]}” read as “{word}”")
    return item


def _alike(halves: re.Match[str]) -> bool:
    """Whether two numbers can be the halves of one winding: a primary and its secondary are further apart."""
    one, other = (float(halves[name].replace(",", ".")) for name in ("one", "other"))
    return min(one, other) * _HALVES_APART >= max(one, other)


def _named(of: Text, line: Text, day: Text | None) -> Entries:
    """A reading whose name is what was measured: ``B+1 to B-: 18 k``."""
    (body,), remark = body_and_remark(line, None)
    first, *rest = items(body)
    if _OF_A_WINDING.search(f"{of} {first}"):
        first = first.in_unit("ohm", "read as ohms")
    both = f"{of} {first}"
    if (halves := _HALVES.search(both)) and _alike(halves):
        first = first.taken_as(f"{_in_signs(Text(halves[0])).partition(' ')[2]}{both[halves.end() :]}")
    ohms, behind = _value(first) or (first, first.cut(len(first)))
    one = _one(of, ohms, day, line)
    for piece in (behind, *rest):
        _behind(one, piece)
    if remark is not None:
        _noted(one, remark)
    return one


def _value(item: Text) -> tuple[Text, Text] | None:
    """The value that an item begins with, and what stands behind it."""
    item = _in_signs(item)
    words = words_of(item, strokes=False)
    found = value_at(item, words, 0, {"resistance": "ohms"}) if words else None
    said = _WORD.match(f" {item}", 1)
    end = words[found.words - 1][1] if found and not found.unit else said.end() - 1 if said else 0
    return (item.cut(0, end), item.cut(end)) if end else None


def _one(of: Text, ohms: Text, day: Text | None, line: Text) -> Entries:
    one = Entries(of.place, line)
    of = of.cut(0)
    of.remarks = (*of.remarks, *line.remarks)
    one.update({Text("of", of.place): of, Text("ohms", ohms.place): ohms})
    if day is not None:
        one[Text("date", day.place)] = day
    return one


def _behind(one: Entries, piece: Text) -> None:
    """What stands behind a value: the volts of an insulation tester, else a note."""
    volts = _AT.match(piece)
    if volts and Text("at") not in one:
        one[Text("at", piece.place)] = piece.cut(*volts.span("volts"))
    elif piece:
        _noted(one, piece)


def _noted(one: Entries, piece: Text) -> None:
    before = one.get(Text("note"))
    one[Text("note", piece.place)] = piece if before is None else before.and_then(piece)
