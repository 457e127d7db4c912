"""The trail from complaint to cure, as written."""

import re
from collections.abc import Iterator
from typing import Annotated, Any

from pydantic.json_schema import JsonSchemaValue

from ..editor_schema import one_or_more
from ..line_items import items
from ..problems import one_of
from ..section import Section
from ..spelling import one_slip
from ..text import NOWHERE, Entries, Listing, Text
from ..values import Date, ReadsBefore, Wording
from ..written_days import day_at_the_end, looks_like_a_date

CURE = re.compile(
    r"(?:was |were |all |both )?(?:re-?)?(?:placed|newed|paired|cleaned|soldered|wired|formed|capped|stuffed|fitted|"
    r"moved|aligned|adjusted|tightened|changed|swapped|mended|fixed|new)\b",
    re.I,
)
"""How an item begins that tells what was done."""
RULED_OUT = "ruled out"
RULED_OUT_WORDS = (RULED_OUT, "not the cause", "not it", "eliminated", "cleared", "suspected in vain")
"""Names and words for what turned out not to be the cause."""
_SAID_FIRST = re.compile(r"(found|cause|cure|note)\b[:\s]+(?=\S)", re.I)
_A_PART_FIRST = re.compile(r"(?:C|R|VR|L|T)\d+[a-z]?(?:\Z|\s+(?!to\b)\S)", re.I)
"""How an item behind the complaint begins that tells the cause, as it does behind a colon: ``hum, C2 dried out``."""
_ARROW = re.compile(r"\s*(?:->|=>|→)\s*")
_NOT_IT = "|".join(RULED_OUT_WORDS)
_RULED_OUT_FIRST = re.compile(
    rf"(?:(?:{_NOT_IT})\b[:\s]+|not\s+(?:the\s+)?(?=[A-Z]{{1,3}}\d|\d{{1,3}}[A-Z])"
    r"|not\s+(?:the\s+)?"
    r"(?=(?:valves?|tubes?|(?:loud)?speaker|rectifier|dropper|switch|(?:output|mains|power) transformer)\b))"
    r"(?=\S)",
    re.I,
)
_RULED_OUT_BEHIND = re.compile(rf"(?P<what>\S.*?)\s+(?:(?:is|are|was|were)\s+)?(?:{_NOT_IT})\.?", re.I | re.S)
"""``C12 ruled out``, ``the tubes were not the cause``."""


def _each_ruled_out(value: Any) -> Any:
    """What was ruled out, one for each semicolon of a line."""
    if not isinstance(value, Text):
        return value
    ends = [*(mark.start() for mark in re.finditer(r";(?=\s|$)", value)), len(value)]
    starts = [0, *(end + 1 for end in ends[:-1])]
    return tuple(one for start, end in zip(starts, ends, strict=True) if (one := value.cut(start, end)))


def _published_ruled_out(made: JsonSchemaValue) -> JsonSchemaValue:
    return one_or_more(made["else"]["items"])


class Fault(Section):
    """One fault: what was complained of, what was found, what was not its cause, what was, what cured it."""

    complaint: Wording | None = None
    found: Wording | None = None
    ruled_out: Annotated[tuple[Wording, ...], ReadsBefore(_each_ruled_out, _published_ruled_out)] = ()
    cause: Wording | None = None
    cure: Wording | None = None
    date: Date | None = None
    note: Wording | None = None

    LINED = True
    SYNONYMS = {"fault": "complaint", "symptom": "complaint", **dict.fromkeys(RULED_OUT_WORDS[1:], RULED_OUT)}


_NONE = re.compile(r"(?:no|none|not|nothing|n/a)\b", re.I)
"""What says that there is no fault, or none known: it is asked."""


def read_faults(value: Any) -> Any:
    """The list of faults; also where complaints stand as names, or the names of one fault without a list.

    ``hum: C2 dried out, replaced`` is the complaint, its cause, and from the first word of what was done on the cure.
    """
    if isinstance(value, Text) and len(value.split()) > 1 and not _NONE.match(value):
        whole = Listing(value.place)
        whole += [_in_one_line(value)]
        return whole
    if isinstance(value, Entries):
        whole = Listing(value.place)
        apart = _by_complaint(value)
        whole += [_one(key, line, value) for key, line in value.items()] if apart else [value] if _said(value) else []
        return whole
    if isinstance(value, Listing):
        rows = Listing(value.place)
        for row in value:
            apart = isinstance(row, Entries) and _by_complaint(row)
            if (line := _one_line(row)) is not None:
                rows.append(_in_one_line(line))
            else:
                rows += [_one(key, line, row) for key, line in row.items()] if apart else [_headed(row)]
        return rows
    return value


def _headed(row: Any) -> Any:
    """A fault whose complaint is a name with nothing behind it, the other names below: ``- hum:``, ``cause: C7``."""
    names = [*Fault.names(), *Fault.SYNONYMS]
    if not isinstance(row, Entries) or len(row.empty) != 1 or not row or _is_one_of(row.empty[0], names):
        return row
    complaint = row.empty[0]
    if "complaint" in {Fault.SYNONYMS.get(key.casefold(), key.casefold()) for key in row}:
        return row
    fault = Entries(row.place)
    fault.update({Text("complaint", complaint.place): complaint, **row})
    fault.whole = row.whole
    return fault


def published_faults(made: JsonSchemaValue) -> JsonSchemaValue:
    """Names at the first level may be complaints, which an editor cannot know."""
    return {"if": {"type": "object"}, "then": {"type": "object"}, "else": made}


def _by_complaint(table: Entries) -> bool:
    """Whether a table's names are complaints: none is a name of a fault, and each has a line behind it."""
    names = [*Fault.names(), *Fault.SYNONYMS]
    return (
        _said(table)
        and not table.empty
        and all(isinstance(value, Text | Entries) and not _is_one_of(key, names) for key, value in table.items())
    )


def _one_line(row: Any) -> Text | None:
    """The line of a fault that is written in one, with ``fault:`` before it or without."""
    if isinstance(row, Entries) and len(row) == 1 and not row.empty:
        (key, row), *_ = row.items()
        told = (
            [item for item in items(row) if _SAID_FIRST.match(item) or CURE.match(item) or _not_the_cause(item)]
            if isinstance(row, Text)
            else []
        )
        return row if told and Fault.SYNONYMS.get(key.casefold()) == "complaint" else None
    return row if isinstance(row, Text) else None


def _in_one_line(line: Text) -> Entries:
    """A fault in one line: the complaint first, then as behind its name; ``crackle, found dirty socket, cleaned``."""
    line = line.taken_as(_ARROW.sub(", ", line)) if _ARROW.search(line) else line
    if dated := day_at_the_end(line):
        line = line.taken_as(f"{line[: dated.start()].rstrip(' ,')}, {dated['day']}{line[dated.end() :]}")
    first, *others = _each_item(line)
    rest = [item for item in others if not _not_the_cause(item)]
    fault = Entries(line.place, line)
    fault[Text("complaint", first.place)] = first
    for item in rest:
        if looks_like_a_date(item) and Text("date") not in fault:
            fault[Text("date", item.place)] = item
            continue
        head, last = _SAID_FIRST.match(item), str(next(key for key in reversed(fault) if key != "date"))
        named = "cause" if last == "complaint" and _A_PART_FIRST.match(item) else last
        key = Text(head[1].casefold() if head else "cure" if CURE.match(item) else named, item.place)
        said = item.cut(head.end()) if head else item
        before = fault.get(key)
        fault[key] = said if before is None else before.and_then(said)
    ruled_out = _put_apart(others, fault)
    told_of = [(key, text) for key, text in fault.items() if key not in (RULED_OUT, "date")]
    told = one_of([f"{key} “{text}”" for key, text in (*told_of, *ruled_out)], "and")
    complaint = fault[Text("complaint")]
    fault[Text("complaint")] = complaint.taken_as(str(complaint), f"read as {told}") if others else complaint
    return fault


def _each_item(line: Text) -> list[Text]:
    """The items of a fault's line; semicolons part it, and commas beside them only where another key begins."""
    if "; " not in line:
        return list(items(line))
    ends = [mark.start() for mark in re.finditer(r";(?=\s)", line)]
    pieces = [line.cut(start, end) for start, end in zip([0, *(end + 1 for end in ends)], [*ends, None], strict=True)]
    return [part for piece in pieces if piece for part in _of_a_clause(piece)]


def _of_a_clause(clause: Text) -> Iterator[Text]:
    """What a clause between semicolons says of each key; all of one that is ruled out is about that."""
    if _not_the_cause(clause):
        yield clause
        return
    held: Text | None = None
    for item in items(clause):
        if held is not None and not (_opens(item) or looks_like_a_date(item)):
            held = held.and_then(item)
            continue
        if held is not None:
            yield held
        held = item
    if held is not None:
        yield held


def _opens(item: Text) -> bool:
    """Whether an item begins what stands under a key of its own."""
    return any(form.match(item) for form in (_SAID_FIRST, CURE, _A_PART_FIRST)) or _not_the_cause(item) is not None


def _not_the_cause(item: Text) -> Text | None:
    """What an item says is not the cause; None where it says no such thing."""
    if head := _RULED_OUT_FIRST.match(item):
        return item.cut(head.end())
    behind = _RULED_OUT_BEHIND.fullmatch(item)
    return item.cut(*behind.span("what")) if behind else None


def _put_apart(parts: list[Text], fault: Entries) -> list[tuple[str, Text]]:
    """Puts what was ruled out under its name, and tells it."""
    told = [said for part in parts if (said := _not_the_cause(part))]
    if told:
        listing = Listing(told[0].place)
        listing += told
        fault[Text(RULED_OUT, told[0].place)] = listing
    return [(RULED_OUT, one) for one in told]


def _is_one_of(key: str, names: list[str]) -> bool:
    word = " ".join(key.split()).casefold()
    return any(word == name or one_slip(word, name) for name in names)


def _said(table: Entries) -> bool:
    return bool(table or table.empty)


def _one(complaint: Text, line: Text | Entries, table: Entries) -> Entries:
    if isinstance(line, Entries):
        fault = Entries(complaint.place)
        fault.update({Text("complaint", complaint.place): complaint, **line})
        fault.empty, fault.whole = line.empty, line.whole
        return fault
    every = list(items(line))
    parts = [item for item in every if not _not_the_cause(item)]
    at = next((n for n, item in enumerate(parts) if CURE.match(item)), len(parts))
    fault = Entries(complaint.place)
    told = [("complaint", complaint), ("cause", _joined(parts[:at])), ("cure", _joined(parts[at:]))]
    ruled_out = _put_apart(every, fault)
    said = one_of([f"{key} “{text}”" for key, text in (*told, *ruled_out) if text], "and")
    for key, text in told:
        if text:
            remarked = text.taken_as(str(text), f"read as {said}") if key == "complaint" else text
            fault[Text(key, text.place or NOWHERE)] = remarked
    fault.whole = table.whole
    return fault


def _joined(parts: list[Text]) -> Text | None:
    whole = parts[0] if parts else None
    for part in parts[1:]:
        whole = whole.and_then(part) if whole is not None else part
    return whole
