"""When the work on a part is done: what is written as done ends a “to do” that was left standing."""

from __future__ import annotations

import pytest

import makers
from benchleaf.archive.wanted_parts import wanted
from benchleaf.pages.brief import parts_left

OLD = "16 uF 450 V electrolytic"
FORMED = "{to: 450 V through 10 kohm, log: ['0 min, 5 mA', '120 min, 0.3 mA']}"


def _state(line: str, more: str = "") -> str:
    found = makers.findings("parts", f"parts:\n  C1: {line}\n{more}")
    return str(found["C1"].state)


@pytest.mark.parametrize(
    ("line", "state"),
    [
        (f"reform, {OLD}", "reform"),
        (f"{OLD}, reformed", "reformed"),
        (f"to do, {OLD}, reformed", "reformed"),
        (f"reform, {OLD}, checked 2026-03-01", "reformed"),
        (f"reform, {OLD}, restuffed", "restuffed"),
        (f"to do, was {OLD}, now 22 uF 450 V electrolytic, restuffed", "restuffed"),
        (f"to do, was {OLD}, now 22 uF 450 V electrolytic, fitted 2026-03-01", "replaced"),
        (f"to do, was {OLD}, now 22 uF 450 V electrolytic", "to do"),
        (f"to do, was {OLD}, now 22 uF 450 V electrolytic, ordered 2026-03-01", "to do"),
        ("{was: 16 uF 450 V electrolytic, state: reformed}", "reformed"),
    ],
)
def test_what_is_written_as_done_ends_a_to_do(line: str, state: str) -> None:
    assert _state(line) == state


@pytest.mark.parametrize(
    ("log", "state"),
    [
        # 0.04 mA/uF x 16 uF + 0.3 mA = 0.94 mA may leak at 450 V (JAN-C-62); 0.3 mA in 10 kohm leave 447 V across it.
        (FORMED, "reformed"),
        ("{to: 450 V, log: ['0 min, 5 mA', '120 min, 0.3 mA']}", "reformed"),
        ("{to: 450 V, log: ['0 min, 5 mA', '120 min, 1.3 mA']}", "reform"),
        # Nine tenths of 450 V are 405 V: 0.3 mA in 200 kohm leave 390 V.
        ("{to: 450 V through 200 kohm, log: ['0 min, 5 mA', '120 min, 0.3 mA']}", "reform"),
        ("{to: 50 V, log: ['0 min, 5 mA', '120 min, 0.3 mA']}", "reform"),
        ("2026-03-01, to 450 V, held overnight", "reformed"),
        ("2026-03-01, to 450 V, never held", "reform"),
        ("2026-03-01, to 450 V", "reform"),
    ],
)
def test_a_log_that_came_under_its_limit_at_the_volts_of_its_place_ends_it(log: str, state: str) -> None:
    assert _state(f"reform, {OLD}", f"reforming:\n  C1: {log}\n") == state


def test_a_low_esr_is_asked_too() -> None:
    """New, 16 uF have some 10 ohm; at 300 ohm it has dried out whatever its leakage does."""
    assert _state(f"reform, {OLD}, ESR 300 ohm", f"reforming:\n  C1: {FORMED}\n") == "reform"


def test_a_part_that_is_done_stands_on_no_list_of_what_is_left() -> None:
    text = f"state: on the bench\nparts:\n  C1: to do, {OLD}\n"
    waiting, done = makers.examined(text), makers.examined(f"{text}reforming:\n  C1: {FORMED}\n")
    assert [left.work for left in parts_left(waiting)] == ["to do"]
    assert parts_left(done) == []
    assert [one.part for one in wanted(waiting)] == ["C1"]
    assert wanted(done) == ()
    assert (done.findings["parts"].progress.done, done.findings["parts"].progress.open) == (1, 0)


def test_of_a_can_the_sheet_lists_the_sections_that_are_left() -> None:
    can = (
        f"parts:\n  C1:\n    sections:\n      a: reform, {OLD}\n      b: reform, {OLD}\nreforming:\n  C1 a: {FORMED}\n"
    )
    found = makers.findings("parts", can)["C1"]
    assert {name: row.state for name, row in found.sections.items()} == {"a": "reformed", "b": "reform"}
    assert found.state == "reform"
