"""A day of the log without a sitting: what else the record has of it, each kind of it told once."""

from __future__ import annotations

from typing import Any, cast

import makers
from benchleaf.chapters.log.findings import Events, LoggedDay
from benchleaf.chapters.log.wording import work
from benchleaf.chapters.parts.dates import days
from benchleaf.report.sentence import text_of

TWO = cast(Any, (object(), object()))
"""Two of a kind: of them no more is asked than whether there are any."""


def told(events: Events) -> str:
    return text_of(work(LoggedDay(None, None, events)))


def test_of_two_parts_and_two_faults_of_one_day_each_kind_is_told_once() -> None:
    events = Events(fitted=("C1", "C2"), cured=TWO, checked=TWO, raised=TWO, reformed=TWO, aligned=TWO)
    assert told(events) == "parts fitted, fault cured, cold checks, power-up, reforming, aligned"


def test_a_kind_of_which_there_is_nothing_is_not_told() -> None:
    for kind, said in (("fitted", "parts fitted"), ("cured", "fault cured"), ("checked", "cold checks"),
                       ("raised", "power-up"), ("reformed", "reforming"), ("aligned", "aligned")):  # fmt: skip
        assert told(Events(**{kind: TWO[:1]})) == said
    assert told(Events()) == ""


def test_the_day_on_which_a_part_went_is_that_of_no_fitting() -> None:
    """It is typed behind ``removed``, and one that is another now was fitted then."""
    gone, new = (
        makers.record(f"parts:\n  C9: 10 nF, {said}\n").parts["C9"]  # type: ignore[index]
        for said in ("removed 2024-02-24", "removed, now 22 nF, fitted 2024-02-24")
    )
    assert (days(gone), days(new)) == ("removed 2024-02-24", "fitted 2024-02-24")
    assert told(Events(removed=("C9",))) == "parts removed"
