"""Lines made from facts, as a bench writes them: each fact comes out or the line is asked, and none is read as another.

A sample in the ordinary run, ten times as many with ``--whole``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from types import ModuleType
from typing import NamedTuple

import pytest

from benchleaf.record import read_record
from benchleaf.record.model import Record
from benchleaf.record.problems import Problem
from benchleaf.record.sections import alignment, heaters, line_measured, parts, power_up, results
from record_values import same, values_of
from said_lines import KINDS, Said, said_lines

Read = Callable[[str], tuple[Record | None, list[Problem]]]
LINES = 60
"""Of each kind in the ordinary run; half a second."""
MOST_ASKED = 0.05


class Outcome(NamedTuple):
    """What came of a line: facts that are ``wrong``, figures that nobody wrote, facts ``lost`` with nothing asked."""

    wrong: dict[str, object]
    invented: dict[str, object]
    lost: list[str]
    asked: bool


def of_record(text: str) -> tuple[Record | None, list[Problem]]:
    return read_record(text.encode(), "record.yml")


def outcome(said: Said, read: Read = of_record) -> Outcome:
    record, problems = read(said.text)
    found = values_of(record)
    of_line = tuple({name.partition(".")[0] for name in said.facts})
    wrong = {name: found[name] for name, value in said.facts.items() if name in found and not same(found[name], value)}
    figures = {name: value for name, value in found.items() if isinstance(value, int | float)}
    invented = {n: value for n, value in figures.items() if n.split(".")[0] in of_line and n not in said.facts}
    asked = any(problem.line >= said.line for problem in problems)
    return Outcome(wrong, invented, [] if asked else [name for name in said.facts if name not in found], asked)


@pytest.mark.parametrize("kind", KINDS)
def test_no_fact_of_a_line_is_misread_or_lost(kind: str, sampled: Callable[[int], int]) -> None:
    lines = list(said_lines(kind, 10 * LINES))[:: sampled(10)]
    came = {said.typed: outcome(said) for said in lines}
    assert {typed: one for typed, one in came.items() if one.wrong or one.invented or one.lost} == {}
    asked = [typed for typed, one in came.items() if one.asked]
    assert len(asked) <= MOST_ASKED * len(lines), asked


@pytest.mark.parametrize("kind", KINDS)
def test_a_reader_that_stops_at_the_second_comma_is_found_out(kind: str) -> None:
    def hasty(text: str) -> tuple[Record | None, list[Problem]]:
        *lines, last, _ = text.split("\n")
        return of_record("\n".join([*lines, ",".join(re.split(r",(?=\s)", last)[:2]), ""]))

    assert any(outcome(said, hasty).lost for said in said_lines(kind, LINES))


@pytest.mark.parametrize(
    ("module", "words", "kind"),
    [
        (results, "in_its_words", "result"),
        (heaters, "winding_in_words", "winding"),
        (alignment, "with_dial_read", "dialled"),
        (line_measured, "as_measured", "touch"),
        (power_up, "soak_in_words", "soak"),
    ],
)
def test_without_its_own_words_a_kind_of_line_is_lost_or_asked(
    module: ModuleType, words: str, kind: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second control: each kind's ways are read by what reads them, and not by chance."""
    monkeypatch.setattr(module, words, lambda line: line)
    came = [outcome(said) for said in said_lines(kind, LINES)]
    assert sum(bool(one.wrong or one.invented or one.lost or one.asked) for one in came) > MOST_ASKED * len(came)


def test_without_parted_clauses_lines_are_misread(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parts, "clauses_parted", lambda line: line)
    came = [outcome(said) for kind in ("capacitor", "resistor") for said in said_lines(kind, LINES)]
    assert any(one.wrong or one.invented for one in came)
    assert any(one.lost for one in came)
