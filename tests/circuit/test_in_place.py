"""Which component is in the set at one time, and how its value is known."""

from __future__ import annotations

import datetime

import pytest

import makers
from benchleaf.circuit.in_place import UNTOLD, AsFound, InPlace, When, in_place
from benchleaf.circuit.supposed_faults.seen_by_meters import emission_on
from benchleaf.record.written_days import ONE_WAY_ONLY
from makers import circuit


def at(when: When, line: str, name: str = "R1") -> InPlace:
    """What is in place of a part written as ``line``."""
    return in_place(circuit(f"parts:\n  {line}\n").named[name.casefold()], when)


def day(written: str) -> datetime.date:
    return datetime.date.fromisoformat(written)


REPLACED = "R1: was 470 kohm 20 %, measured 612 kohm, now 470 kohm 5 %, measured 468 kohm"


@pytest.mark.parametrize(
    ("when", "value", "which", "remark"),
    [
        ("before", 612e3, "was", ""),
        ("after", 468e3, "now", ""),
        ("now", 468e3, "now", ""),
        (day("2026-02-28"), 612e3, "was", ""),
        (day("2026-03-01"), 468e3, "now", ""),
        (None, 468e3, "now", UNTOLD),
    ],
)
def test_the_new_part_holds_from_the_day_it_was_fitted(when: When, value: float, which: str, remark: str) -> None:
    inside = at(when, f"{REPLACED}, fitted 2026-03-01")
    assert (inside.value, inside.which, inside.remark) == (value, which, remark)
    assert inside.how == "measured"


@pytest.mark.parametrize(
    ("when", "fitted", "which"),
    [
        (AsFound(), "", "was"),
        (AsFound(day("2026-03-01")), "", "was"),
        (AsFound(day("2026-03-01")), ", fitted 2026-03-01", "was"),
        (AsFound(day("2026-03-01")), ", checked 2026-03-10", "was"),
        (AsFound(day("2026-03-02")), ", fitted 2026-03-01", "now"),
        (AsFound(), ", fitted 2026-03-01", "was"),
    ],
)
def test_a_list_read_as_found_is_of_the_old_part_unless_the_new_one_went_in_on_a_day_before(
    when: AsFound, fitted: str, which: str
) -> None:
    """The filters went in first, to try the set at all; the list as found was read two days later."""
    inside = at(when, REPLACED + fitted)
    assert (inside.which, inside.remark) == (which, "")


@pytest.mark.parametrize(
    ("name", "when"),
    [
        ("as found", AsFound()),
        ("before", AsFound()),
        ("2026-03-04 as found", AsFound(day("2026-03-04"))),
        ("20/9/24 before", AsFound(day("2024-09-20"))),
        ("before any work, 28.3.2026", AsFound(day("2026-03-28"))),
        ("5/20/24 on MW", day("2024-05-20")),
        ("March 4, 2026 after the work", day("2026-03-04")),
        ("before the new V4", None),
    ],
)
def test_a_list_has_its_day_and_that_it_was_before_the_work_by_its_name(name: str, when: When) -> None:
    """In any way that dates are written, where it is one way only: of 20/9/24 the parts of that day were not known."""
    assert circuit(f"readings:\n  {name}:\n    B+: 100\n").day_of(name) == when


def test_a_day_in_a_lists_name_that_may_be_two_is_asked() -> None:
    (problem,) = makers.refused("readings:\n  3/4/26 after:\n    B+: 100\n")
    assert (problem.line, problem.expected) == (4, ONE_WAY_ONLY)
    assert circuit("dates: d/m/y\nreadings:\n  3/4/26 after:\n    B+: 100\n").day_of("3/4/26 after") == day(
        "2026-04-03"
    )


def test_the_exchange_of_a_tube_has_not_been_made_in_a_list_read_as_found_on_its_day() -> None:
    record = circuit("tubes:\n  V1: 6V6\nchanged tubes:\n  V1: was 6V6 at 61 %, now 6V6 at 100 %, 2026-03-01\n").record
    of = [emission_on(record, "V1", when) for when in (AsFound(day("2026-03-01")), day("2026-03-01"), AsFound(), None)]
    assert of == [0.61, 1.0, 0.61, None]


def test_a_part_without_a_day_of_fitting_leaves_doubt_only_between_the_days_that_are_known() -> None:
    line = f"{REPLACED}, ordered 2026-02-01, checked 2026-03-10"
    assert at(day("2026-01-31"), line).which == "was"
    assert at(day("2026-02-15"), line) == at(None, line)
    assert at(day("2026-02-15"), line).remark == UNTOLD
    assert (at(day("2026-03-10"), line).which, at(day("2026-03-10"), line).remark) == ("now", "")


@pytest.mark.parametrize("when", ["now", day("2026-05-01"), None])
def test_what_is_only_ordered_is_not_in_the_set(when: When) -> None:
    line = f"{REPLACED}, ordered 2026-02-01"
    assert at(when, line).which == "was"
    assert at("after", line).which == "now"


def test_what_was_taken_out_is_gone_and_what_was_added_was_not_there() -> None:
    removed = "C1: was 10 nF paper, now none, fitted 2026-03-01"
    assert at("before", removed, "C1").value == 10e-9
    assert [at(w, removed, "C1").is_there for w in ("after", "now", day("2026-03-02"))] == [False] * 3
    added = "C1: was none, now 10 nF film, fitted 2026-03-01"
    assert not at("before", added, "C1").is_there
    assert at("now", added, "C1").value == 10e-9


@pytest.mark.parametrize(
    ("written", "value", "how"),
    [
        ("470 kohm, measured 612 kohm", 612e3, "measured"),
        ("470 kohm", 470e3, "marked"),
        ("carbon composition", 390e3, "from the sheet"),
        ("470 kohm, measured > 400 kohm", 470e3, "marked"),
        ("measured 612 kohm", 612e3, "measured"),
    ],
)
def test_how_a_value_is_known(written: str, value: float, how: str) -> None:
    inside = at("now", f"R1: sheet 390 kohm, was {written}")
    assert (inside.value, inside.how, inside.low, inside.high) == (value, how, value, value)


@pytest.mark.parametrize(
    ("written", "low", "high", "condition"),
    [
        ("measured > 20 meg", 20e6, None, ""),
        ("measured < 10 kohm", 0.0, 10e3, ""),
        ("measured 1 to 2 meg", 1e6, 2e6, ""),
        ("measured OL", None, None, ""),
        ("measured open", None, None, "open"),
        ("open", None, None, "open"),
        ("measured short", None, None, "shorted"),
        ("shorted", None, None, "shorted"),
    ],
)
def test_what_a_meter_only_bounds_is_no_number_and_not_the_marked_value(
    written: str, low: float | None, high: float | None, condition: str
) -> None:
    inside = at("now", f"R1: was 470 kohm, {written}")
    assert (inside.value, inside.low, inside.high, inside.condition) == (None, low, high, condition)
    assert (inside.nominal, inside.kind, inside.how) == (470e3, "resistor", "measured")


def test_an_old_part_nobody_wrote_of_is_taken_for_one_like_the_new() -> None:
    inside = at("before", "R1: now 470 kohm 5 %, measured 468 kohm, fitted 2026-03-01")
    assert (inside.value, inside.how, inside.which) == (470e3, "assumed", "")
    assert inside.esr_ohms is None


def test_old_sections_without_a_pair_go_when_the_new_ones_come() -> None:
    text = "C1: {was: 10 uF and 20 uF and 30 uF, now: 22 uF and 47 uF, fitted: 2026-03-01}"
    made = circuit(f"parts:\n  {text}\n")
    before = [in_place(one, "before").value for one in made.components]
    after = [in_place(one, "now").value for one in made.components]
    assert before[:3] == [10e-6, 20e-6, 30e-6]
    assert after == [None, None, None, 22e-6, 47e-6]


def test_leakage_is_that_of_the_component_in_place() -> None:
    line = "C1: was 10 nF, leakage 27 uA at 200 V, now 10 nF, leakage <0.1 uA at 400 V, fitted 2026-03-01"
    old, new = at("before", line, "C1"), at("now", line, "C1")
    assert old.leakage_ohms == pytest.approx(200 / 27e-6)
    assert (old.insulates(1e9), new.insulates(1e9), new.leakage_bound) == (False, True, "at least")
    assert at("now", "C1: keep, 10 nF, leakage 0 uA at 200 V", "C1").insulates(1e9)
    assert not at("now", "C1: keep, 10 nF, leakage > 0.1 uA at 400 V", "C1").insulates(1e9)
