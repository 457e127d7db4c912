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


@pytest.mark.parametrize(
    ("reading", "told"),
    [
        ("V1: plate 250", ""),
        ("V1: pin 8 250", ""),
        ("V1: pin 1 0", ""),
        ("V1: pin 9 250", "found pin 9; expected pins 1 to 8: the 6SK7 has 8"),
        ("V1: pin 0 250", "found pin 0; expected pins 1 to 8: the 6SK7 has 8"),
        ("V1: gird 1", "did you mean “grid”?"),
        ("V1: grid -1, g1 -1", "found “g1”, which is “grid” again; expected each electrode once"),
        ("V2: plate 2 250", ""),
        ("V2: plate 250", "found “plate”, which a 6SN7GT has more than one of"),
        ("V3: plate 250", ""),
        ("V3: beam 250", "expected an electrode of a 12ZZ9, of which no pins are known; add its electrodes"),
    ],
)
def test_a_reading_is_of_an_electrode_that_its_tube_has(reading: str, told: str) -> None:
    tubes = "tubes:\n  V1: 6SK7\n  V2: 6SN7\n  V3:\n    type: 12ZZ9\n    heater: 12.6 V 0.15 A\n"
    slips = Slips("record.yml")
    place(record(f"{tubes}readings:\n  found:\n    {reading}\n"), slips)
    messages = [str(problem) for problem in slips.problems()]
    assert len(messages) == bool(told)
    assert told in "".join(messages)
