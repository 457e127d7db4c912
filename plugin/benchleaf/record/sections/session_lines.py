"""Power-up sessions as they are jotted down: a line for a session, a day or the line's volts as a name."""

from __future__ import annotations

import re
from typing import Any

from pydantic.json_schema import JsonSchemaValue

from ..line_items import items
from ..text import Entries, Listing, Text
from ..written_days import looks_like_a_date, opening_day
from .before_power import day_before_a_comma

_VOLTS_AS_NAME = re.compile(r"[.\d][\d.,]*\s?(?:V|volts?)(?:\s?AC)?\s*\Z", re.I)
_MEANS = re.compile(
    r"(?:(?:with|on|through)\s+)?(?:(?:an?|the)\s+)?(?:(?:\d{2,3}\s?W\s)?(?:dim[ -])?"
    r"(?:lamp|bulb|globe)(?:\s\d{2,3}\s?W)?(?:\s(?:in series|limiter|tester))?|variac"
    r"|variable transformer|isolat\w+ transformer|bench supply)(?:\s(?:in series|and variac))?",
    re.I,
)
"""What a session was done with, before its step: ``100 W lamp in series, 90 V``."""
_BY = re.compile(r"(?:the\s+)?(?:variac|variable transformer)", re.I)
_SOAKED = re.compile(r"(?:soak(?:ed| test)?|ran|run|played)\s*:?,?\s+(?:for\s+)?(?=[.\d])", re.I)
"""What stands before how long the set then ran."""
RAISED = re.compile(
    r"(?:the\s+)?(?:(?:variac|variable transformer|brought|raised|turned|up|set(?=\s+(?:it|her|at|to|on|up)\b)|run)\s+)"
    r"(?:(?:it|her|up|set|at|to|on)\s+){0,4}(?:(?:line|mains)\s+)?(?=[.\d])",
    re.I,
)
"""What stands before the line's volts: ``variac to 60 V``, ``brought up to 90 V``."""


def read_sessions(value: Any) -> Any:
    """The list of sessions; also one in a line, ``brought up slowly over an hour``, and sessions named by their day."""
    if isinstance(value, Text):
        return _listed(value, [_of_line(value)])
    if isinstance(value, Entries):
        return _listed(value, _of_days(value))
    if isinstance(value, Listing):
        return _listed(value, [session for row in value for session in _of_row(row)])
    return value


def published_sessions(made: JsonSchemaValue) -> JsonSchemaValue:
    """A session may be a line, and a name a day, which an editor cannot know."""
    return {"anyOf": [made, {"type": ["object", "string"]}, {"type": "array"}]}


def read_steps(value: Any) -> Any:
    """The list of steps; also where the line's volts stand as names: ``90 V: 110 V on B+``."""
    if isinstance(value, Text):
        return _listed(value, [value])
    if isinstance(value, Entries):
        return _listed(value, _by_volts(value))
    if isinstance(value, Listing):
        rows = [_by_volts(row) if isinstance(row, Entries) else [row] for row in value]
        return _listed(value, [step for row in rows for step in row])
    return value


def published_steps(made: JsonSchemaValue) -> JsonSchemaValue:
    """Names may be volts, which an editor cannot know."""
    return {"anyOf": [made, {"type": "object"}, {"type": "array"}]}


def _listed(of: Text | Entries | Listing, rows: list[Any]) -> Listing:
    listing = Listing(of.place)
    listing += rows
    return listing


def _of_row(row: Any) -> list[Any]:
    if isinstance(row, Text):
        return [_of_line(row)]
    return _of_days(row) if isinstance(row, Entries) else [row]


def _of_days(table: Entries) -> list[Any]:
    """Each day that stands as a name with its session; the table itself where no name is a day."""
    days = [key for key in table if looks_like_a_date(key)]
    if not days or len(days) < len(table) or table.empty:
        return [table]
    return [_of_day(key, table[key]) for key in days]


def _of_day(day: Text, told: Any) -> Any:
    if isinstance(told, Text):
        session = _of_line(told)
        if isinstance(session, Text):
            session = Entries(told.place)
            session[Text("note", told.place)] = told
    elif isinstance(told, Listing):
        session = Entries(told.place)
        session[Text("steps", told.place)] = told
    else:
        session = told
    if not isinstance(session, Entries):
        return session
    dated = Entries(day.place)
    dated.update({Text("date", day.place): day, **session})
    dated.empty, dated.whole = session.empty, session.whole
    return dated


def _of_line(line: Text) -> Any:
    """A session in one line: its day, then a step where the line's volts lead, else the note. One word is asked."""
    day = opening_day(line, with_year=True) or day_before_a_comma(line)
    rest = line.cut(day) if day else line
    rest = rest.cut(1) if day and rest[:1] in ("-", "–", "—", ":", ",") else rest
    if len(rest.split()) < 2:
        return line
    session = Entries(line.place, line)
    if day:
        session[Text("date", line.place)] = line.cut(0, day)
    if (first := next(items(rest))) and _MEANS.fullmatch(first) and len(first) < len(rest):
        session[Text("with", first.place)] = first
        rest = rest.cut(len(first) + 1)
    if soaked := _SOAKED.match(rest):
        session[Text("soak", rest.place)] = rest.cut(soaked.end())
    elif (raised := RAISED.match(rest)) and (by := _BY.match(raised[0])):
        session.setdefault(Text("with", rest.place), rest.cut(0, by.end()))
        session[Text("steps", rest.place)] = _listed(rest, [rest])
    elif RAISED.match(rest) or re.match(r"(?:(?:line|mains)\s+)?[.\d][\d.,]*\s?V", rest, re.I):
        session[Text("steps", rest.place)] = _listed(rest, [rest])
    else:
        session[Text("note", rest.place)] = rest.taken_as(str(rest), f"kept as a note: {rest}")
    return session


def volts_as_name(table: Any) -> tuple[Text, Any] | None:
    """The line's volts that stand as a step's only name, and what is said behind them; None for any other step."""
    if not isinstance(table, Entries) or len(table) != 1 or table.empty:
        return None
    ((key, told),) = table.items()
    return (key, told) if _VOLTS_AS_NAME.fullmatch(key) else None


def _by_volts(table: Entries) -> list[Any]:
    """A step for each name that is volts; the table itself where any name is none."""
    if len(table) < 2 or not all(_VOLTS_AS_NAME.fullmatch(key) for key in table) or table.empty:
        return [table]
    steps = []
    for key, told in table.items():
        steps.append(Entries(key.place))
        steps[-1][key] = told
    return steps
