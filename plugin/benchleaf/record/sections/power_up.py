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
from ..text import Entries, Listing, Text
from ..times_in_words import times_in_figures
from ..values import Current, Date, Duration, Reads, ReadsBefore, Voltage, VoltsRead, Wording, as_text
from .session_lines import RAISED, published_steps, read_steps, volts_as_name
from .step_words import (
    amperes_told,
    named_by_its_lamp,
    soak_in_words,
    step_said,
    steps_by_name,
    volts_of_neither,
    with_both_at_once,
)

_LINE_SAID = re.compile(r"\b(?:line|mains)\s+[.\d]", re.I)
_SAID = {"line": _LINE_SAID, "after": re.compile(r"\bafter\s+[.\d]", re.I)}
_OF_A_STEP = {"voltage": "line", "current": "amps", "duration": "after"}
_ELSEWHERE = re.compile(
    r"\s*(?:(?:at|on|across|over|from|of)\s+(?!(?:the\s+)?(?:line|mains|variac|plug|socket|wall)\b)|(?:B\+|HT)\d?\s*\Z)",
    re.I,
)
"""How it goes on behind volts that were read at some place of the set: ``60 V at B+``, ``60 V B+``."""


_CLOCK = re.compile(
    r"(?:at\s+)?(?P<clock>(?:[01]?\d|2[0-3])(?:[:h][0-5]\d(?:\s?[ap]\.?m\b\.?)?|\.[0-5]\d(?:\s?[ap]\.?m\b\.?|"
    r"(?=\s*,?\s+(?:(?:line|mains|variac)\b|[.\d][\d.,]*\s?(?:V|volts?)\b)))))(?:\s*,\s*|\s+|\s*$)",
    re.I,
)
"""The time of day that a step begins with: ``10:40``, ``14h05``; ``10.20`` where the line's volts stand behind it."""


def _read_clock(value: Any) -> Text:
    text = as_text(value)
    if not _CLOCK.fullmatch(text):
        raise refused(quoted(text), "a time of day, such as “10:40”", at=text)
    return text


Clock = Annotated[Text, Reads(_read_clock, TEXT_SCHEMA)]


_WORDS_ALONE = re.compile(r"[^\W\d_]+(?:[ '’-]+[^\W\d_]+)*")
_AT_THE_SET = re.compile(
    r"\b(?:HT|B|plates?|anodes?|screens?|grids?|cathodes?|filaments?|rails?|reservoir|output|bias|AVC|chassis|tap"
    r"|heaters?|secondary|winding|field|B plus|set|radio|receiver|A|LT|C|C1)\s*$",
    re.I,
)
"""Words that volts behind them were read at, and not what was done or seen: ``lamp bridged``."""
_PERHAPS_THE_LINES = re.compile(
    r"(?:^|, )(?P<words>[^\W\d_]*(?: [^\W\d_]+)*\s?)(?<!\S)(?P<volts>[.\d][\d.,]*\s?(?:V|volts?))"
    r"(?= [.\d][\d.,]*\s?(?:m?A|amps?)\b|,|$)",
    re.I,
)
"""Volts that no place of the set stands before: alone in an item, or with a current behind them."""
_COMES_TO = re.compile(r"(?<=\dV)\s*=\s*(?=[.\d])|(?<=\d V)\s*=\s*(?=[.\d])", re.I)
"""Between the line's volts and what they come to: no sign of direct current."""


_MAINS_TRANSFORMER = re.compile(r"(?<=\bmains)\s(?=transformer\b|trafo\b|tx\b|xfmr\b|trans\b)", re.I)


_VOLTS_AND_AMPERES = re.compile(r"[.\d][\d.,]*\s?v(?:olts?)?(?:\s?ac)?\s+[.\d][\d.,]*\s?m?(?:a|amps?)", re.I)
_WITHIN_A_NAME = "\u2060"
"""Stands for the blank in a name while its line is read: nobody types it."""


def _mains_transformer_whole(data: Any) -> Any:
    """A line whose mains transformer is a part that was warm, and no line volts."""
    return data.taken_as(_MAINS_TRANSFORMER.sub(_WITHIN_A_NAME, data)) if isinstance(data, Text) else data


def _named_again(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """What was read, with the names in it as they were typed."""
    return table and {
        key: text.taken_as(text.replace(_WITHIN_A_NAME, " ")) if isinstance(text, Text) else text
        for key, text in table.items()
    }


def _second_step(line: Text) -> Text | None:
    """Volts and amperes behind volts that a step begins with: its current would be taken for that of the first."""
    first, *rest = items(line)
    both = (item for item in rest if _VOLTS_AND_AMPERES.fullmatch(item))
    return next(both, None) if _only_kind(first) == "voltage" or _VOLTS_AND_AMPERES.fullmatch(first) else None


class PowerUpStep(Section):
    """``line 80 V, 0.16 A, B+1 70 V``: line volts, line current, then whatever else was read.

    Volts that a step begins with are the line's: ``80 V 0.16 A, B+1 70 V``. A time of day may stand before all, and how
    long it was held by itself between commas: ``80 V, 10 min``.
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
        """A step's own lamp stands apart from what was read."""
        data = named_by_its_lamp(data)
        lamp, typed = None, data
        if isinstance(data, Text) and (second := _second_step(data)):
            remedy = "write it as a step on a line of its own"
            error = refused(f"{quoted(second)}, a second step", "one step in a line", remedy, at=second)
            errors.append({"type": error, "loc": (), "input": second})
            return None
        if isinstance(data, Text):
            data, lamp = step_said(_mains_transformer_whole(data))
        if lamp is not None and (unclear := volts_of_neither(data, lamp)):
            said = f"{quoted(f'line {unclear}')} before lamp and set, or {quoted(f'set {unclear}')} behind the lamp"
            error = refused(f"{quoted(unclear)} with a lamp in series", said, "write which it is", at=unclear)
            errors.append({"type": error, "loc": (), "input": unclear})
        table = amperes_told(typed, _named_again(cls._of_line(data, errors)))
        return table if table is None or lamp is None else {**table, Text("with", lamp.place): lamp}

    @classmethod
    def _of_line(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """The volts that a step begins with are the line's, unless it says the line further on."""
        if named := volts_as_name(data):
            line, told = named
            table = super()._table(told, errors)
            return None if table is None else {**table, Text("line", line.place): line}
        data = data.taken_as(_COMES_TO.sub(", ", data)) if isinstance(data, Text) else data
        clock = _CLOCK.match(data) if isinstance(data, Text) else None
        if clock and isinstance(data, Text):
            rest, at = data.cut(clock.end()), data.cut(*clock.span("clock"))
            at = at.taken_as(re.sub(r"(?<=\d)\.(?=\d)", ":", at))
            table = cls._of_line(rest, errors) if rest else Entries(data.place, data)
            return None if table is None else {**table, Text("clock", at.place): at}
        raised = RAISED.match(data) if isinstance(data, Text) else None
        step = data.cut(raised.end()) if raised and isinstance(data, Text) else data
        if isinstance(step, Text) and not raised:
            step = data = _worded(step, {"voltage": "line", "duration": "after"})
        elif isinstance(step, Text):
            step = _worded(step, {"duration": "after"})
        volts = _leading_volts(step) if isinstance(step, Text) else None
        if volts is None or not isinstance(step, Text):
            return _volts_not_taken(super()._table(data, errors))
        if raised:
            volts = volts.taken_as(volts, f"“{raised[0]}{volts}” read as the line’s volts")
        behind = step.cut(len(volts))
        behind = behind.cut(1) if behind.startswith(",") else behind
        table = super()._table(behind, errors) if behind else Entries(step.place, step)
        return None if table is None else {**table, Text("line", volts.place): volts}

    clock: Clock | None = None
    with_: Wording | None = None
    line: VoltsRead | None = None
    amps: Current | None = None
    after: Duration | None = None
    read: Wording | None = None
    note: Wording | None = None


class Soak(Section):
    """``8 h, line 120 V, 0.24 A, chassis 41 °C, T3 58 °C, room 21 °C, B+1 121 V``; ``8 h, 120 V`` is the line too."""

    FORM = form(
        ["line"],
        values={"current": "amps", "duration": "time"},
        synonyms={"mains": "line"},
        valued={"line": ("voltage",)},
        rest="read",
        remark="note",
    )
    SYNONYMS = {"mains": "line", "for": "time"}

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """Volts between commas, before anything that was read, are the line's; a mains transformer is none of it."""
        data = _mains_transformer_whole(data)
        if isinstance(data, Text):
            data = _worded(soak_in_words(times_in_figures(data)), {"voltage": "line"})
        return _named_again(super()._table(data, errors))

    time: Duration | None = None
    line: VoltsRead | None = None
    amps: Current | None = None
    read: Wording | None = None
    note: Wording | None = None


def _worded(line: Text, words: Mapping[str, str]) -> Text:
    """A line in which an item that is one value and nothing else has its word before it, where that is not said.

    ``words`` gives the word for each kind. Volts are the line's only before anything that was read at the set.
    """
    said = {word for word, pattern in _SAID.items() if pattern.search(line)}
    whole: Text | None = None
    at_the_set = noting = False
    for item in items(line):
        body, mark, _ = item.partition(";")
        kind = "" if noting else _only_kind(item.cut(0, len(body)))
        word = words.get(kind, "")
        takes = bool(word) and word not in said and not (at_the_set and kind == "voltage")
        said |= {word} if takes else set()
        at_the_set, noting = at_the_set or not (kind or _seen_or_done(item)), noting or bool(mark)
        put = item.taken_as(f"{word} {item}") if takes else item
        whole = put if whole is None else whole.and_then(put)
    return line if whole is None or whole == line else whole


def _volts_not_taken(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A step without the line's volts; volts that may be the line's, among what was read, are said to stay there."""
    read = table.get(Text("read")) if table and Text("line") not in table else None
    found = _PERHAPS_THE_LINES.search(read) if isinstance(read, Text) else None
    if not table or not isinstance(read, Text) or found is None or _AT_THE_SET.search(found["words"]):
        return table
    volts = found["volts"]
    told = f"{quoted(volts)} kept among what was read: if it is the line’s, write {quoted(f'line {volts}')}"
    return {**table, Text("read", read.place): read.taken_as(read, told)}


def _seen_or_done(item: Text) -> bool:
    """Whether an item is words alone that name no place of the set: ``lamp bridged``."""
    return _WORDS_ALONE.fullmatch(item) is not None and not _AT_THE_SET.search(item)


def _only_kind(item: Text) -> str:
    """The kind of the one value that an item is; empty for any other."""
    words = words_of(item, strokes=False)
    value = value_at(item, words, 0, _OF_A_STEP) if words else None
    return value.kind if value and value.words == len(words) else ""


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

    SYNONYMS = {
        **dict.fromkeys(("using", "limiter", "current limiter", "limited by", "fed through", "equipment"), "with"),
        **dict.fromkeys(("soak test", "soaked"), "soak"),
    }

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """A lamp and what stands behind “then” are one after the other, unless a step speaks of the lamp."""
        return with_both_at_once(super()._table(steps_by_name(data), errors))

    date: Date | None = None
    with_: Wording | None = None
    steps: Annotated[tuple[PowerUpStep, ...], ReadsBefore(read_steps, published_steps)] = ()
    soak: Soak | None = None
    note: Wording | None = None


_AT_ONCE = re.compile(r"(?:0|at once|at first|start)(?=\s*,)", re.I)


class ReformingEntry(Section):
    """``90 min, 0.21 mA``."""

    FORM = form(
        ["at"],
        values={"duration": "after", "current": "current", "voltage": "at"},
        words={"overnight": "note"},
        skipped=frozenset({"@"}),
        rest="note",
        remark="note",
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """``0, 7 mA`` was read at once."""
        at_once = _AT_ONCE.match(data) if isinstance(data, Text) else None
        return super()._table(data.taken_as(f"0 min{data[at_once.end() :]}") if at_once else data, errors)

    after: Duration | None = None
    current: Current | None = None
    at: Voltage | None = None
    note: Wording | None = None


class Reforming(Section):
    """Reforming of one electrolytic capacitor; its line is ``2026-03-01, to 150 V``, anything else its note.

    A time and a current in its line are what was read then: ``2026-03-01, to 150 V, 60 min, 11.5 mA; given up``.
    """

    FORM = form(["to"], values={"date": "date"}, rest="note", remark="note")

    to: Wording | None = None
    date: Date | None = None
    log: tuple[ReformingEntry, ...] = ()
    note: Wording | None = None

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """What was read after one time stands in its log; several times in one line are its note, in order."""
        parts = list(items(data)) if isinstance(data, Text) else []
        kinds = [_only_kind(part.cut(0, len(part.partition(";")[0]))) for part in parts]
        if kinds.count("duration") != 1 or kinds.count("current") != 1:
            return super()._table(data, errors)
        first = min(kinds.index("duration"), kinds.index("current"))
        read = data.cut(parts[first].place[1] - data.place[1])
        line = data.cut(0, parts[first].place[1] - data.place[1]).rstrip(" ,")
        table = super()._table(data.cut(0, len(line)), errors) if line else Entries(data.place, data)
        log = Listing(read.place)
        log.append(read)
        return None if table is None else {**table, Text("log", read.place): log}
