"""The tubes of a set and the ones that were changed, as written."""

import re
from collections.abc import Mapping
from typing import Any, ClassVar

from pydantic_core import InitErrorDetails

from ..forms import Form
from ..problems import quoted
from ..section import Section, form
from ..text import Entries, Text
from ..values import Current, Date, Pins, Ratio, Voltage, Wording

_WAS = "was "
_TUBE = r"[A-Z]{1,4}\d[\w/-]*|\d{1,3}[A-Z]\w*"
_BOTH = re.compile(rf"(?:{_TUBE})\b.*[\s,](?:now|replaced (?:with|by)|changed (?:to|for))\s", re.I)
_NEW_FIRST = re.compile(
    r"(?P<head>\b(?:now|was|with|by|to|for) )(?P<new>NOS|used|new old stock|new) "
    rf"(?P<tube>{_TUBE}|\d\d(?!\s?%))(?![\w-])",
    re.I,
)


class Heater(Section):
    """A heater rating given in the record: ``12.6 V 0.15 A``."""

    FORM = form(["volts", "amps"], values={"voltage": "volts", "current": "amps"})

    volts: Voltage
    amps: Current


_FIRST_THEN = re.compile(r"(?:^|(?<=,))\s*(?P<said>\d{1,3}\s?%,?\s+then\s+\d{1,3}\s?%[^,;]*)", re.I)
"""What a tube showed at two times, of which neither is its emission alone: ``48 % then 63 % after some hours``."""


_VERDICT = re.compile(
    r"(?:^|(?<=,)|(?<=%)(?=\s))\s*(?P<said>"
    r"(?:(?:it )?(?:tests?|tested|tests out|checks?|checked|measures|on the tester)\s+)"
    r"(?:very\s+|fairly\s+|as\s+|still\s+)*(?:good|ok(?:ay)?|strong|fine|fair|weak|low|new|bad|soft)"
    r"|good|ok(?:ay)?|strong|weak(?:-?ish)?|kept|NOS|\d{2,3}\s?/\s?\d{2,3})(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What a tester said of a tube with no share of new, which is no job of it: ``output, tests good``, ``rect, 52/70``."""
_ON_THE_TESTER = re.compile(
    r"(?<=,)(?P<gap>\s*)(?:(?:on (?:the |my )?)?tester|tests?(?: at)?|tested(?: at)?|reads)\s*:?\s+(?=\d{1,3}\s?%)",
    re.I,
)
"""Before a tube's share of new: ``conv, tester 82%``."""


_SHOWN = re.compile(
    r"(?:\s*,\s*|\s+(?=\(|tests?\b|tested\b|measures\b|checks?\b|emission\b|at\b))(?P<open>\()?\s*"
    r"(?:(?:it )?(?:tests?|tested|measures|checks?)\s+(?:at\s+)?|emission\s*:?\s*(?:of\s+)?|at\s+)?"
    r"(?P<share>\d{1,3})\s?(?:%|per ?cent)(?:\s+emission)?\s*(?(open)\))(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What a tester showed, with a word for it or in brackets: ``tests 71 %``, ``(88 %)``."""


class FittedTube(Section):
    """A tube position: ``12BE6, frequency changer``. A type that is not in the table brings its own data."""

    FORM = form(
        ["type", "job", "heater", "base", "pins", "note"],
        values={"ratio": "emission"},
        first=("type",),
        groups={"heater": Heater.FORM or Form()},
        rest="job",
        remark="note",
        tube_first=True,
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """What it showed at two times stands behind the remark's sign, as its note."""
        if isinstance(data, Text) and (tester := _ON_THE_TESTER.search(data)):
            data = data.taken_as(f"{data[: tester.start()]}{tester['gap']}{data[tester.end() :]}")
        if isinstance(data, Text) and not _FIRST_THEN.search(data) and "/" not in data:
            data = data.taken_as(_SHOWN.sub(r", \g<share> %", data, count=1))
        then = (_FIRST_THEN.search(data) or _VERDICT.search(data)) if isinstance(data, Text) else None
        if then is None or not isinstance(data, Text):
            return super()._table(data, errors)
        table = cls._table(data.taken_as(f"{data[: then.start()].rstrip(' ,')}{data[then.end() :]}"), errors)
        said = data.cut(*then.span("said"))
        note = table.get(Text("note")) if table else None
        told = said.taken_as(str(said), f"kept as a note: {said}")
        whole = told.and_then(note) if isinstance(note, Text) else told
        return None if table is None else {**table, Text("note", said.place): whole}

    type: Wording
    job: Wording | None = None
    heater: Heater | None = None
    base: Wording | None = None
    pins: Pins | None = None
    emission: Ratio | None = None
    note: Wording | None = None


class TestedTube(Section):
    """One side of a change: ``50C5 at 61 % emission``; words behind the type are a note, ``NOS`` before it too."""

    __test__: ClassVar[bool] = False

    FORM = form(
        ["type", "note"],
        values={"ratio": "emission"},
        first=("type",),
        skipped=frozenset({"at", "emission", "tested", "tests", "test"}),
        tube_first=True,
    )

    type: Wording
    emission: Ratio | None = None
    note: Wording | None = None


_IN_BRACKETS = re.compile(
    r"\s*\((?P<said>[^()]+)\)(?=\s*(?:[,;]|now\b|replaced (?:with|by)\b|changed (?:to|for)\b|\Z))"
)
"""Brackets around what a tube tested or how it was found: ``EL84 (Valvo, 71 %)``, ``6K7 (weak)``."""
_BRIGHT = re.compile(
    r"(?P<said>\d{1,3}\s?%\s+(?:bright\w*|brilliance|glow|light|deflection|worn"
    r"|gone(?! (?:soft|weak|low|down|gassy))))\b",
    re.I,
)
"""What an eye shows, which is no emission."""


def _said_in_brackets(said: re.Match[str]) -> str:
    """What stood in brackets as items, where a figure is among them, else as a note: ``3V4 (wrong type)``."""
    return f", {said['said']}" if any(map(str.isdigit, said["said"])) else f", note {said['said']}"


_ON_A_SCALE = re.compile(
    r"(?:(?<=[\s,])(?P<said>(?:(?:at|tests?|tested|emission|matched)\s+){1,2}(?:at\s+)?\d{1,3}"
    r"(?:(?:\s+of)?(?:\s+an?)?\s+min(?:imum|\.)?\s+(?:of\s+)?\d{1,3})?)"
    r"|(?<=, )(?P<bare>\d{2,3}))"
    r"(?=\s*(?:,|;|\Z|now\b|replaced\b|changed\b|->|=>|→)|\s+(?:from|out of|in|on)\s+[^\W\d])(?!\s*%)",
    re.I,
)
"""What a tester showed on its own scale, which is no per cent: ``emission 41``, ``6K6GT (weak, 44)``."""


def _scale_told(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A change whose tubes were tested on a scale that is no per cent says that this stays in words."""
    for side in ("was", "now"):
        tube = table.get(Text(side)) if table else None
        note = tube.get(Text("note")) if isinstance(tube, Entries) else None
        found = _ON_A_SCALE.search(f", {note}") if isinstance(note, Text) else None
        if isinstance(tube, Entries) and isinstance(note, Text) and found:
            told = f"{quoted(found['said'] or found['bare'])} kept as a note: without % it is of the tester’s own scale"
            tube[Text("note")] = note.taken_as(str(note), told)
    return table


_WITHIN_A_TEXT = re.compile(r"(?:\b(?:note|why|reason)\b|;)[^,]*\Z", re.I)
"""Behind what a sentence goes on, which has no word of ours put into it."""


def _kept_as_words(said: re.Match[str]) -> str:
    if _WITHIN_A_TEXT.search(said.string, 0, said.start()):
        return said[0]
    return f"note {said['said'] or said['bare']}"


_WHY_BEHIND = re.compile(r",\s+(?!(?:why|reason|note)\b)(?=[^\d,;]+\Z)", re.I)
"""Before words that end the line of an arrow: they are said of the change."""
_ARROW = re.compile(r"\s*,?\s*(?:->|=>|→)\s*(?=\S)")


_NOW_BEHIND = re.compile(r";(?=\s+(?:now|replaced (?:with|by)|changed (?:to|for))\s)", re.I)
"""A semicolon before the new tube, which is no remark."""


class ChangedTube(Section):
    """``was 50C5 at 61 % emission, now 50C5 at 102 % emission``."""

    FORM = form(
        ["was", "now", "why", "date", "note"],
        values={"date": "date"},
        groups={"was": TestedTube.FORM or Form(), "now": TestedTube.FORM or Form()},
        synonyms=dict.fromkeys(("replaced with", "replaced by", "changed to", "changed for"), "now"),
        remark="note",
        needs=("was", "now"),
    )

    @classmethod
    def _table(cls, data: Any, errors: list[InitErrorDetails]) -> Mapping[Any, Any] | None:
        """What a line begins with is the tube that was there: ``5Z4 shorted, replaced with 5Y3GT``, ``6K7 -> 6S7``."""
        if isinstance(data, Text) and (arrow := _ARROW.search(data)):
            new = _WHY_BEHIND.sub("; ", data[arrow.end() :])
            data = data.taken_as(f"{data[: arrow.start()]}, now {new}")
        if isinstance(data, Text):
            data = data.taken_as(_NOW_BEHIND.sub(",", data))
        if isinstance(data, Text) and _BOTH.match(data):
            line, column = data.place
            typed = data.typed
            data = Text(f"{_WAS}{data}", (line, column - len(_WAS)), single=data.single).like(data)
            data.typed = typed
        if isinstance(data, Text):
            data = data.taken_as(_IN_BRACKETS.sub(_said_in_brackets, data))
            data = data.taken_as(_ON_A_SCALE.sub(_kept_as_words, data))
            data = data.taken_as(_BRIGHT.sub(r"note \g<said>", data))
            data = data.taken_as(_NEW_FIRST.sub(r"\g<head>\g<tube> \g<new>", data))
        return _scale_told(super()._table(data, errors))

    was: TestedTube | None = None
    now: TestedTube | None = None
    why: Wording | None = None
    date: Date | None = None
    note: Wording | None = None
