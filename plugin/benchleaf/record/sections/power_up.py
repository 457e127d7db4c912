"""First power-up and reforming, as written."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic_core import InitErrorDetails

from ..line_items import items
from ..line_values import value_at, words_of
from ..section import Section, form
from ..text import Entries, Text
from ..values import Current, Date, Duration, Voltage, Wording

_LINE_SAID = re.compile(r"\b(?:line|mains)\s+[.\d]", re.I)
_ELSEWHERE = re.compile(
    r"\s*(?:(?:at|on|across|over|from|of)\s+(?!(?:the\s+)?(?:line|mains|variac|plug|socket|wall)\b)|(?:B\+|HT)\d?\s*\Z)",
    re.I,
)
"""How it goes on behind volts that were read at some place of the set: ``60 V at B+``, ``60 V B+``."""


class PowerUpStep(Section):
    """``line 80 V, 0.16 A, B+1 70 V``: line volts, line current, then whatever else was read.

    Volts that a step begins with are the line's: ``80 V 0.16 A, B+1 70 V``.
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
        volts = _leading_volts(data) if isinstance(data, Text) else None
        if volts is None:
            return super()._table(data, errors)
        behind = data.cut(len(volts))
        behind = behind.cut(1) if behind.startswith(",") else behind
        table = super()._table(behind, errors) if behind else Entries(data.place, data)
        return None if table is None else {**table, Text("line", volts.place): volts}

    line: Voltage | None = None
    amps: Current | None = None
    after: Duration | None = None
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

    SYNONYMS = {"using": "with"}

    date: Date | None = None
    with_: Wording | None = None
    steps: tuple[PowerUpStep, ...] = ()
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
