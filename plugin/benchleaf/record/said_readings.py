"""The readings of a tube or rail as they are said: ``p=95 s=95``, ``about 45``, ``121 (at the rectifier)``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from .problems import quoted
from .sections.meter import Meter, meter_beside
from .text import NOWHERE, Entries, Text
from .written_days import lacks_its_year, leaves_its_order_open, looks_like_a_date

_BRACKETS = re.compile(r"(?:\s+|(?<=[\dVv=]))\((?P<said>[^()]*)\)")
_OF_THE_VALUE = re.compile(
    r"\s*(?:pins?\s+\d+|\d+|AC|DC|rms|peak|[a-z]?g\d(?:\+\w+)*|[akgpsdfh]|[akg]\d|a[thp]|gt|sg)\s*\Z", re.I
)
"""What in brackets says which electrode or which volts, and is no remark."""
_A_VALUE = re.compile(r"\s*[-+−–~<>]?\s?(?:\d[\d.,]*|\.\d+)\s*(?:V|volts?)?\s*(?:AC|DC)?\s*\Z", re.I)
"""Brackets around a reading, as one that is out of the ordinary is marked; it is none the less the reading."""
_VALUE_IN_BRACKETS = re.compile(r"(?<=\w )[(\[]\s?(?:[-+−–]\s?\d[\d.,]*|[-+−–]?\d*[.]\d+)(?:\s?V)?\s?[)\]]", re.I)
"""A reading in brackets behind its electrode, ``grid (-9.5)``: its sign or its point says that it is no pin."""
_GRID = re.compile(r"(?<!\w)g\d\s*\Z", re.I)
_ELECTRODE_IN_BRACKETS = re.compile(r"(?:(?<=,)|^)\s*\((?P<said>[a-z][\w +]*)\)(?=\s*=?\s*[-+−–<>~]?\s?[.]?\d)", re.I)
"""An electrode in brackets before its reading: ``(plate) 51, (grid) -.7``."""
_PIN_BEHIND = re.compile(
    r"(?<![\w.])(?P<at>[^\W\d][\w ]*?)(?P<gap>\s)\((?P<pin>\d{1,2})\)(?=\s*[=:]?\s*[-+−–~<>]?\s?\.?\d)", re.I
)
_NUMBERED = frozenset(("grid", "g", "diode", "d", "x"))
"""What a number in brackets may number."""
_SIGNS = {"plus": "+", "minus": "-"}
_SIGN_SAID = re.compile(r"(?<![\w+-])(?P<sign>plus|minus)\s+(?=\.?\d)", re.I)
"""A sign in a word before its number: ``grid minus 9.5``."""
_NO_BRACKETS = str.maketrans("()[]", "    ")
_THE_SAME = re.compile(r"(?:the )?same(?: meter| one| as (?:before|above))?|ditto|as (?:before|above)", re.I)
_THE_SAME_BUT = re.compile(r"(?:the )?same(?: meter| one)?,?\s+(?P<but>(?:but|except|only)\b.+)", re.I)
"""The meter of the list before, and what was read with another."""
_SQUARE = str.maketrans("[]", "()")
_SIGN = re.compile(r"(?<=\w)\s*[=:]\s*(?=[-+<>~−–]?\s?\.?\d)")
_PAIRS = re.compile(r"\w+(?:\s\w+)?\s*=\s*[-+<>~−–]?\s?(?:\d(?:[.,\d]*\d)?|\.\d+)(?:\s?V)?(?=\s|\Z)")
_ABOUT = re.compile(r"(?<!\S)(?:about|approx\.?|approximately|circa|ca\.?|around|roughly)\s+(?=[-+−–]?\s?\.?\d)", re.I)
_ABOUT_BEHIND = re.compile(
    r"(?P<sign>[=:]\s*)?(?P<value>(?<![\w.,~])[-+−–]?\d[\d.,]*(?:\s?V)?)"
    r"\s+(?:approx\.?|approximately|about|ca\.?|or thereabouts)(?=\s*(?:,|;|\Z))",
    re.I,
)
_NEXT = r"(?=\s*[^\W\d][\w+ ]{0,20}\s?[=:]?\s*[-+−–~<>]?\s?\.?\d)"
_PARTED = re.compile(rf"\s?;\s{_NEXT}|(?<=[\dVv)x])\s/\s{_NEXT}")
"""A sign between one reading and the next electrode: ``a 211; k 7``, ``a 211 / k 7``."""
_AC_BEHIND = re.compile(r"(?<=\d)(?P<ac>\s?(?:V\s?)?AC)(?P<gap>\s+)(?=[^\W\d]{1,12}\s+[-+−]?\.?\d)", re.I)
"""Behind alternating volts, before the next electrode: ``p 375/375 ac fil 388``."""
_OR_SO = re.compile(r"(?<=\d)(?P<unit>\s?V)?\s+or so(?=\s*(?:,|;|\Z))", re.I)
_DAY_WRITTEN = frozenset({"date", "day"})
_LONGEST_DATE = 4
"""Words of a day: ``Sat 4 March 2024``."""
_ELECTRODE_OF = re.compile(r"\s*(?P<at>[^\W\d][\w+ ]*?)\s*=?\s*[-+<>~−–]?\s?\.?\d[\d.,]*\s*V?\s*\Z", re.I)
_ENDS_IN_A_NUMBER = re.compile(r"\d\s*[^\W\d]{0,5}\s*\Z")


def with_brackets_as_note(table: Mapping[Any, Any], names: frozenset[str]) -> Mapping[Any, Any]:
    """Readings in plain values, what stood in brackets behind them in the list's note; ``names`` are its own keys."""
    said = {
        key: plainly_said(value)
        for key, value in table.items()
        if isinstance(value, Text) and key.casefold() not in names
    }
    if all(value is table[key] and not told for key, (value, told) in said.items()):
        return table
    values = {**table, **{key: value for key, (value, _) in said.items()}}
    return noted(table, values, ((key, remark, str(remark)) for key, (_, told) in said.items() for remark in told))


def with_what_names_say(runs: Any) -> Any:
    """The lists of readings, each with the meter and the day that are said of it in passing."""
    for name, run in runs.items() if isinstance(runs, Entries) else ():
        if not isinstance(run, Entries) or "date" in run.given or any(key.casefold() in _DAY_WRITTEN for key in run):
            continue
        if day := open_day_in(name):
            run[Text("date", day.place)] = day
            run.given.add("date")
    return with_the_same_meter(runs)


def open_day_in(name: Text) -> Text | None:
    """The day in a list's name where either number may be the month, so that it is asked."""
    return next((day for day in days_in_name(name) if leaves_its_order_open_here(day)), None)


def days_in_name(name: Text) -> Iterator[Text]:
    """What may be a day of a list's name: its first words and its last, the longest first, then any with a year."""
    words = list(re.finditer(r"\S+", name))
    counts = range(min(_LONGEST_DATE, len(words)), 0, -1)
    for count in counts:
        for of_date in (words[:count], words[-count:]):
            yield _bare(name, of_date)
    for count in counts:
        for first in range(1, len(words) - count):
            if looks_like_a_date(inner := _bare(name, words[first : first + count])):
                yield inner


def _bare(name: Text, words: list[re.Match[str]]) -> Text:
    """Some words of a name without the signs around them: ``(3 March 2024)``."""
    start, end = words[0].start(), words[-1].end()
    start += len(name[start:end]) - len(name[start:end].lstrip("(["))
    return name.cut(start, start + len(name[start:end].rstrip(",:;)]")))


def leaves_its_order_open_here(day: Text) -> bool:
    """Whether a day may be two, and neither the site nor another date of the record tells which."""
    return not day.manner.slash_dates and not lacks_its_year(day) and leaves_its_order_open(day)


def with_the_same_meter(runs: Any) -> Any:
    """The lists of readings in which ``meter: same`` is that of the list before."""
    before: Any = None
    for run in runs.values() if isinstance(runs, Entries) else ():
        key = next((key for key in run if key.casefold() == "meter"), None) if isinstance(run, Entries) else None
        said = run[key] if key is not None else None
        if key is not None and isinstance(said, Text) and (but := _THE_SAME_BUT.fullmatch(said)):
            _note_another_meter(run, said.cut(*but.span("but")))
            said = run[key] = said.cut(0, but.start("but")).taken_as("same")
        if isinstance(said, Text) and _THE_SAME.fullmatch(said):
            if isinstance(before, Text):
                told = f"“{said}” read as “{before}”, as in the list before"
                run[key] = said.taken_as(str(before), told)
            elif before is not None:
                run[key] = before
        before = run[key] if key is not None else before
    return runs


def _note_another_meter(run: Entries, but: Text) -> None:
    """Keep what is said of a second meter as the list's note: which reading it is of stands in brackets behind that."""
    told = f"{quoted(but)} kept as a note: the meter of one reading stands in brackets behind it, “g1 -8 (10 meg)”"
    key = next((key for key in run if key.casefold() == "note"), Text("note", but.place))
    before = run.get(key)
    note = but.taken_as(f"meter: {but}", told)
    run[key] = before.and_then(note) if isinstance(before, Text) else note


def noted(
    table: Mapping[Any, Any], values: Mapping[Any, Any], told: Iterable[tuple[Text, Text, str]]
) -> Mapping[Any, Any]:
    """A ``table`` with other ``values``, and in its note what was ``told`` of each name: name, words, the remark's."""
    kept = Entries(getattr(table, "place", NOWHERE), getattr(table, "line", None))
    kept.empty, kept.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    kept.update(values)
    for name, said, shown in told:
        note = said.taken_as(f"{name}: {said}", f"kept as a note: {shown}")
        key = next((key for key in kept if str(key).casefold() == "note"), Text("note", said.place))
        before = kept.get(key)
        kept[key] = before.and_then(note) if isinstance(before, Text) else note
    return kept


def plainly_said(text: Text) -> tuple[Text, list[Text]]:
    """The readings without the signs that join each to its electrode, and the remarks that stand in brackets.

    What is left keeps its place in the line, but where signs alone part one reading from the next. A meter in brackets
    is left there too: the reading that it stands behind is judged by it. A range by itself is all told by that.
    """
    signed = _SIGN_SAID.sub(lambda sign: _SIGNS[sign["sign"].casefold()].rjust(len(sign[0])), text.translate(_SQUARE))
    parted = _PARTED.sub(lambda sign: ", ".ljust(len(sign[0])), signed)
    plain, remarks = _pins_named(parted), []
    for found in _VALUE_IN_BRACKETS.finditer(text):
        if not _ENDS_IN_A_NUMBER.search(text[: found.start()]) or _GRID.search(text[: found.start()]):
            plain = plain[: found.start()] + found[0].translate(_NO_BRACKETS) + plain[found.end() :]
    plain = _ELECTRODE_IN_BRACKETS.sub(lambda found: found[0].translate(_NO_BRACKETS), plain)
    for found in _BRACKETS.finditer(plain):
        start, end = found.span()
        if _OF_THE_VALUE.match(found["said"]) or _A_VALUE.match(found["said"]):
            plain = plain[:start] + found[0].replace("(", " ").replace(")", " ") + plain[end:]
        elif found["said"].strip() and _ENDS_IN_A_NUMBER.search(text[:start]):
            meter = meter_beside(text.cut(*found.span("said")))
            if meter is None or not meter.range_alone:
                remarks.append(_with_its_electrode(text, plain, found))
            if meter is None:
                plain = plain[:start] + " " * (end - start) + plain[end:]
    plain = _ABOUT_BEHIND.sub(
        lambda about: f"{' ' * len(about['sign'] or '')}~{about['value']}".ljust(len(about[0])), plain
    )
    plain = _AC_BEHIND.sub(lambda ac: f"{ac['ac']},{ac['gap'][1:] or ' '}", plain)
    in_a_row = [pair[0] for pair in _PAIRS.finditer(plain)]
    whole = len(in_a_row) > 1 and " ".join(" ".join(in_a_row).split()) == " ".join(plain.split())
    plain = ", ".join(in_a_row) if whole else plain
    plain = _OR_SO.sub(lambda found: (found["unit"] or "").ljust(len(found[0])), plain)
    plain = _ABOUT.sub(lambda found: "~".rjust(len(found[0])), _SIGN.sub(lambda found: " " * len(found[0]), plain))
    return (text if plain == text else _again(text, plain, single=text.single and not whole)), remarks


def _pins_named(text: str) -> str:
    """Pins in brackets behind their electrodes as pins, ``anode (7) 257``: in a row with one that has no number itself.

    ``grid (2)`` may be the second grid, by itself and among grids alone.
    """
    found = [*_PIN_BEHIND.finditer(text)]
    if all(one["at"].casefold() in _NUMBERED for one in found):
        return text
    return _PIN_BEHIND.sub(lambda one: f"{one['at']}{one['gap']}p{one['pin']}".ljust(len(one[0])), text)


def without_meters(text: Text) -> tuple[Text, list[tuple[int, Meter]]]:
    """Readings with blanks in place of each meter in brackets, and where each stood."""
    plain, found = str(text), []
    for brackets in _BRACKETS.finditer(text):
        start, end = brackets.span()
        if (meter := meter_beside(text.cut(*brackets.span("said")))) is not None:
            found.append((start, meter))
            plain = plain[:start] + " " * (end - start) + plain[end:]
    return (_again(text, plain, single=text.single) if found else text), found


def with_its_meter(value: Any) -> tuple[Any, Meter | None]:
    """A value that stands by itself, and the meter in brackets behind it."""
    plain, beside = without_meters(value) if isinstance(value, Text) else (value, [])
    return plain, beside[-1][1] if beside else None


def meters_behind(parts: Sequence[Text], text: Text, beside: Sequence[tuple[int, Meter]]) -> list[Meter | None]:
    """The meter that stands in brackets behind each part of a text, or None."""
    starts, at = [], 0
    for part in parts:
        starts.append(text.find(part, at))
        at = starts[-1] + len(part)
    ends = [*starts[1:], len(text) + 1]
    return [
        next((meter for at, meter in beside if start < at <= end), None)
        for start, end in zip(starts, ends, strict=True)
    ]


def _with_its_electrode(text: Text, plain: str, found: re.Match[str]) -> Text:
    """What stood in brackets, behind the electrode that it was said of where the line has several."""
    said = text.cut(*found.span("said"))
    item = plain[plain.rfind(",", 0, found.start()) + 1 : found.start()]
    electrode = _ELECTRODE_OF.match(item)
    return said.taken_as(f"{electrode['at']} {said}") if "," in text and electrode else said


def _again(text: Text, plain: str, *, single: bool) -> Text:
    again = Text(plain.rstrip(), text.place, single=single).like(text)
    again.remarks = text.remarks
    return again
