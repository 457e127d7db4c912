"""First power-up and reforming, as written."""

import re
from collections.abc import Mapping
from typing import Annotated, Any

from pydantic_core import InitErrorDetails

from ..editor_schema import TEXT_SCHEMA
from ..line_items import items
from ..line_values import value_at, words_of
from ..problems import quoted
from ..section import Section, form, refused
from ..text import Entries, Text
from ..values import Current, Date, Duration, Reads, ReadsBefore, Voltage, Wording, as_text
from .session_lines import RAISED, published_steps, read_steps, volts_as_name

_LINE_SAID = re.compile(r"\b(?:line|mains)\s+[.\d]", re.I)
_ELSEWHERE = re.compile(
    r"\s*(?:(?:at|on|across|over|from|of)\s+(?!(?:the\s+)?(?:line|mains|variac|plug|socket|wall)\b)|(?:B\+|HT)\d?\s*\Z)",
    re.I,
)
"""How it goes on behind volts that were read at some place of the set: ``60 V at B+``, ``60 V B+``."""


_CLOCK = re.compile(
    r"(?:at\s+)?(?P<clock>(?:[01]?\d|2[0-3])[:h][0-5]\d(?:\s?[ap]\.?m\b\.?)?)(?:\s*,\s*|\s+|\s*$)", re.I
)
"""The time of day that a step begins with: ``10:40``, ``14h05``."""


def _read_clock(value: Any) -> Text:
    text = as_text(value)
    if not _CLOCK.fullmatch(text):
        raise refused(quoted(text), "a time of day, such as “10:40”", at=text)
    return text


Clock = Annotated[Text, Reads(_read_clock, TEXT_SCHEMA)]


class PowerUpStep(Section):
    """``line 80 V, 0.16 A, B+1 70 V``: line volts, line current, then whatever else was read.

    Volts that a step begins with are the line's: ``80 V 0.16 A, B+1 70 V``. A time of day may stand before all.
    """

    FORM = form(
        ["line", "after"],
        values={"current": "amps"},
        synonyms={"mains": "line"},
        valued={"line": ("voltage",)},
        rest="read",
        remark="note",
    )
    SYNONYMS = {"mains": "line"}

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """The volts that a step begins with are the line's, unless it says the line further on."""
        if named := volts_as_name(data):
            line, told = named
            table = super()._table(told, errors)
            return None if table is None else {**table, Text("line", line.place): line}
        clock = _CLOCK.match(data) if isinstance(data, Text) else None
        if clock and isinstance(data, Text):
            rest, at = data.cut(clock.end()), data.cut(*clock.span("clock"))
            table = cls._table(rest, errors) if rest else Entries(data.place, data)
            return None if table is None else {**table, Text("clock", at.place): at}
        raised = RAISED.match(data) if isinstance(data, Text) else None
        step = data.cut(raised.end()) if raised and isinstance(data, Text) else data
        volts = _leading_volts(step) if isinstance(step, Text) else None
        if volts is None or not isinstance(step, Text):
            return super()._table(data, errors)
        if raised:
            volts = volts.taken_as(volts, f"“{raised[0]}{volts}” read as the line’s volts")
        behind = step.cut(len(volts))
        behind = behind.cut(1) if behind.startswith(",") else behind
        table = super()._table(behind, errors) if behind else Entries(step.place, step)
        return None if table is None else {**table, Text("line", volts.place): volts}

    clock: Clock | None = None
    line: Voltage | None = None
    amps: Current | None = None
    after: Duration | None = None
    read: Wording | None = None
    note: Wording | None = None


class Soak(Section):
    """``8 h, line 120 V, 0.24 A, chassis 41 °C, T3 58 °C, room 21 °C, B+1 121 V``."""

    FORM = form(
        ["line"],
        values={"current": "amps", "duration": "time"},
        synonyms={"mains": "line"},
        valued={"line": ("voltage",)},
        rest="read",
        remark="note",
    )
    SYNONYMS = {"mains": "line", "for": "time"}

    time: Duration | None = None
    line: Voltage | None = None
    amps: Current | None = None
    read: Wording | None = None
    note: Wording | None = None


def _leading_volts(step: Text) -> Text | None:
    """The volts that a step begins with, where they can be nothing but the line's."""
    first = next(items(step))
    words = words_of(first, strokes=False)
    found = value_at(first, words, 0, {"voltage": "line"}) if words and not _LINE_SAID.search(step) else None
    if found is None:
        return None
    end = words[found.words - 1][1]
    return None if _ELSEWHERE.match(first, end) else first.cut(0, end)


class PowerUp(Section):
    """One session on a raised line."""

    SYNONYMS = {"using": "with", "soak test": "soak", "soaked": "soak"}

    date: Date | None = None
    with_: Wording | None = None
    steps: Annotated[tuple[PowerUpStep, ...], ReadsBefore(read_steps, published_steps)] = ()
    soak: Soak | None = None
    note: Wording | None = None


class ReformingEntry(Section):
    """``90 min, 0.21 mA``."""

    FORM = form(["at"], values={"duration": "after", "current": "current", "voltage": "at"}, rest="note")

    after: Duration | None = None
    current: Current | None = None
    at: Voltage | None = None
    note: Wording | None = None


class Reforming(Section):
    """Reforming of one electrolytic capacitor; its line is ``2026-03-01, to 150 V``, anything else its note."""

    FORM = form(["to"], values={"date": "date"}, rest="note", remark="note")

    to: Wording | None = None
    date: Date | None = None
    log: tuple[ReformingEntry, ...] = ()
    note: Wording | None = None
