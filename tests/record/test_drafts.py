"""First drafts as fifty-one restorers typed them: what is asked of each, and that every fact in it comes out right.

``facts.txt`` was written by hand from the draft: a name and, after it, each fact with its value in SI; that of the last
twenty-eight was taken from what is read and then held, line by line, to lists that their writers had made before.
``answers.txt`` has the lines that were asked about as their writer would mend them, in one go.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from benchleaf.record import read_record
from benchleaf.record.mapping import as_mapping
from benchleaf.record.remarks import remarks_of
from benchleaf.record.trade_words import MEASURED, NOW
from benchleaf.record.written_days import looks_like_a_date
from first_drafts import DRAFTS, drafts, looked
from record_values import same, values_of

MOST_PROBLEMS = 5
_SAME = "same"  # of a meter: it is that of the list before, whose words stand there
_SORTS = "cap caps capacitor condenser resistor can coil insulation via plates anodes removed"
_CARRY_NOTHING = (
    {"thru", "vac", "water", "pipe"}
    | {"with", "and", "the", "between", "for", "from", "ohms", "volts"}
    | {_SAME, "isolation", "all", "stk"}
    | {"half", "quarter", "twenty", "minus", "over", "microvolts", "resistance", "peak", "peaking", "peaked"}
    | {"tester", "megger", "pilots", "ladeelko"}
    | {word for phrase in (*NOW, *MEASURED, _SORTS) for word in phrase.split()}
)
"""Words whose meaning is the name that their value stands under, and those that name a part by its sort."""


@cache
def values(draft: Path, *, mended: bool) -> Mapping[str, Any]:
    """Every value of the record that was read, under a name as ``facts.txt`` has it."""
    record, _ = read_record(looked(draft, mended=mended)[0].encode(), "record.yml")
    return values_of(record)


def facts(draft: Path) -> Iterator[tuple[str, str]]:
    for line in (draft / "facts.txt").read_text(encoding="utf-8").strip().split("\n"):
        name, said = re.fullmatch(r"(.*?):(?= )(.*)", line).groups()  # type: ignore[union-attr]
        for fact in re.split(r"(?<!\\), ", said.strip()):
            key, _, value = fact.replace("\\,", ",").partition(" ")
            yield (f"{name}.{key}" if name else key), value


def test_there_are_fifty_one() -> None:
    assert len(DRAFTS) == 51


@drafts()
def test_what_is_asked_of_a_draft(draft: Path) -> None:
    """At most five, all at once; each line that is asked is mended in one go."""
    told = looked(draft, mended=False)[1].problems
    assert [str(problem) for problem in told] == (draft / "told.txt").read_text(encoding="utf-8").splitlines()
    assert len(told) <= MOST_PROBLEMS
    assert [str(problem) for problem in looked(draft, mended=True)[1].problems] == []


@drafts()
def test_every_fact_comes_out(draft: Path) -> None:
    found = values(draft, mended=True)
    wrong = {key: (value, found.get(key)) for key, value in _named(draft, found) if not same(found.get(key), value)}
    assert wrong == {}


@drafts()
def test_nothing_is_read_wrong_while_something_is_asked(draft: Path) -> None:
    found = values(draft, mended=False)
    named = list(_named(draft, found))
    asked = [key for key, _ in named if key not in found]
    whole = values(draft, mended=True)
    in_order = [(key, value) for key, value in named if key in found and _rows(key, found) == _rows(key, whole)]
    wrong = {key: found[key] for key, value in in_order if not same(found[key], value)}
    assert wrong == {}
    assert len(asked) < len(named) / 4


def _rows(key: str, found: Mapping[str, Any]) -> int:
    """How many entries the list has that a name leads into: where a line is asked, those behind it count one less."""
    listed = re.match(r"(log|before_power|power-up|line_side\.measured)\.", key)
    return len({k.split(".")[listed[0].count(".")] for k in found if k.startswith(listed[0])}) if listed else 0


def _named(draft: Path, found: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """The facts, the longest name that the record has first: an electrode's name may have a blank in it."""
    for key, value in facts(draft):
        words = value.split(" ")
        longer = (f"{key} {' '.join(words[:n])}" for n in range(len(words) - 1, 0, -1))
        name = next((name for name in longer if name in found), key)
        if name == key and key not in found and len(words) > 1 and re.fullmatch(r"-?[\d.e+-]+", words[-1]):
            name = f"{key} {' '.join(words[:-1])}"
        yield name, value[len(name) - len(key) :].strip()


@drafts()
def test_nothing_typed_is_lost(draft: Path) -> None:
    """Every word stands in the record's data, in a remark, or in a question."""
    text, look = looked(draft, mended=False)
    record, problems = read_record(text.encode(), "record.yml")
    assert record is not None
    asked = {problem.line for problem in look.each} | set(_lines_lost(text, record.lost.sections))
    kept = " ".join([str(as_mapping(record)), *map(str, remarks_of(record, "")), *map(str, problems)]).casefold()
    lines = text.split("\n")
    private = [n for n, line in enumerate(lines, 1) if re.match(r"(serial|owner)( no)?:", line) or line.startswith("#")]
    lost = {
        word
        for number, line in enumerate(lines, 1)
        if number not in asked and number not in private
        for word in re.findall(r"\w{3,}", line.partition(" # ")[0].casefold())
        if word not in _CARRY_NOTHING
        and word not in kept
        and not _is_value(word, kept)
        and not _is_key(word, line)
        and not _dated(line, word)
    }
    assert lost == set()


def _lines_lost(text: str, sections: Collection[str]) -> Iterator[int]:
    """The lines of sections of which something could not be read."""
    section = ""
    for number, line in enumerate(text.split("\n"), 1):
        section = line.partition(":")[0].casefold() if re.match(r"\w", line) else section
        if section in sections:
            yield number


def _is_value(word: str, kept: str) -> bool:
    """Whether a word is a value that stands there with a blank before its unit: ``50uF`` of ``50+50uF``."""
    value = re.fullmatch(r"(\d+)([^\W\d]{1,3})", word)
    units = (value[2], *(("ohm",) if value[2] == "r" else ())) if value else ()
    return value is not None and any(f"{value[1]} {unit}" in kept for unit in units)


def _dated(line: str, word: str) -> bool:
    """Whether a word is part of a date, which the record has as a day."""
    found = re.search(rf"[\w,.' ]*\b{word}\b[\w,.' ]*", line.casefold())
    words = found[0].replace(",", " , ").split() if found else []
    runs = (words[i:j] for i in range(len(words)) for j in range(i + 2, i + 6))
    spans = (" ".join(run).replace(" , ", ", ") for run in runs)
    return any(word in span and looks_like_a_date(span.strip(" ,")) for span in spans)


def _is_key(word: str, line: str) -> bool:
    return re.match(rf"\s*(?:- )?[^:]*\b{word}\b[^:]*:", line.casefold()) is not None
