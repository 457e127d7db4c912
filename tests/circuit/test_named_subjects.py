"""What a record names must be in it or in the table, or be described well enough to work with."""

from __future__ import annotations

import pytest

from benchleaf.circuit.place import place
from benchleaf.record.slips import Slips
from makers import record, rows


def asked_of(text: str) -> list[str]:
    """The fields of what is told of a record's names."""
    slips = Slips("record.yml")
    place(record(text), slips)
    return [problem.field for problem in slips.problems()]


@pytest.mark.parametrize(
    ("changed", "asked"),
    [
        ("V1: was 6K7, now 6SK7", []),
        ("V1: was 6SK7, now 6SK7", []),
        ("V1: was 6ZZ9, now 6SK7", ["changed tubes.V1.was"]),
        ("V1: was 6SK7, now 6ZZ9", ["changed tubes.V1.now"]),
        ("V7: was 6K7, now 6SK7", ["changed tubes"]),
        ("V7: was 6ZZ9, now 6SK7", ["changed tubes", "changed tubes.V7.was"]),
    ],
)
def test_a_changed_tube_is_of_the_set_and_of_a_type_that_is_known(changed: str, asked: list[str]) -> None:
    assert asked_of(f"tubes:\n  V1: 6SK7\nchanged tubes:\n  {changed}\n") == asked


@pytest.mark.parametrize(
    ("heater", "asked"),
    [
        ("12.6 V 0.15 A", False),
        ("0.01 V 0.15 A", False),
        ("0 V 0.15 A", True),
        ("12.6 V 0 A", True),
        ("999 V 0.15 A", False),
        ("1000 V 0.15 A", True),
        ("12.6 V 99 A", False),
        ("12.6 V 100 A", True),
    ],
)
def test_a_described_tube_has_a_heater_that_can_be(heater: str, asked: bool) -> None:
    described = f"type: 12ZZ9\nheater: {heater}\nbase: noval\npins: g1, k, h, h, a"
    assert bool(asked_of(f"tubes:\n  V2:\n{rows(described, 4)}")) is asked


@pytest.mark.parametrize(
    ("of", "asked"), [("C31", False), ("C77", False), ("primary of T9", False), ("C32", True), ("widget", True)]
)
def test_a_cold_check_may_be_of_a_part_that_is_not_listed_but_of_no_slip_of_one_that_is(of: str, asked: bool) -> None:
    text = f"parts:\n  C31: 40 uF 450 V electrolytic\nbefore power:\n  {of}: 1 meg\n"
    assert asked_of(text) == ["before power"] * asked
