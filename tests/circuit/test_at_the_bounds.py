"""Small facts of the set at their bounds: what a part is marked to be off by, shares of a rail, bridges, windings."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.cold_subjects import APART, subject_of
from benchleaf.circuit.pieces import tolerance
from benchleaf.circuit.places import rail
from benchleaf.circuit.rail_ohms import cold_shares

DIVIDER = """power: transformer
parts:
  R1: 100 kohm 10 %, between B+1 and B+2
  R2: {}, between B+2 and B-
"""


@pytest.mark.parametrize(
    ("line", "low", "high"),
    [("470 kohm 20 %", -0.2, 0.2), ("470 kohm ±20 %", -0.2, 0.2), ("100 kohm ±5 kohm", -0.05, 0.05)],
)
def test_how_far_off_a_part_is_marked_to_be(line: str, low: float, high: float) -> None:
    (part,) = makers.record(f"parts:\n  R1: {line}\n").parts.values()
    found = tolerance(part.was[0])
    assert found is not None
    assert (found.low, found.high) == pytest.approx((low, high))


def test_a_part_without_a_tolerance_is_marked_to_be_off_by_nothing_known() -> None:
    (part,) = makers.record("parts:\n  R1: 470 kohm\n").parts.values()
    assert tolerance(part.was[0]) is None


@pytest.mark.parametrize(("lower", "share"), [("100 kohm 10 %", 0.55), ("300 kohm 10 %", 11 / 14), ("keep", 1.0)])
def test_the_most_of_a_rail_that_a_point_can_have_while_no_tube_draws_current(lower: str, share: float) -> None:
    """By hand: 110 kohm of 200 kohm, 330 kohm of 420 kohm; a part whose ohms nobody wrote may have nearly all."""
    found = cold_shares(makers.circuit(DIVIDER.format(lower)), rail("B+1"))
    assert found[rail("B+2")] == pytest.approx(share, abs=1e-3)


@pytest.mark.parametrize(
    ("line", "plates"),
    [
        ("rectifier, selenium, 5 plates", 5),
        ("bridge rectifier, selenium, 4 plates", None),
        ("rectifier, silicon, 5 plates", None),
    ],
)
def test_plates_are_counted_of_a_stack_of_selenium_that_is_no_bridge(line: str, plates: int | None) -> None:
    dry = makers.circuit(f"power: transformer\nparts:\n  D1: {line}\n").dry_rectifier
    assert dry is not None
    assert dry.plates == plates


@pytest.mark.parametrize(
    ("written", "apart"),
    [
        ("T3 primary to secondary", True),
        ("T3 primary to core", True),
        ("T3 primary to chassis", True),
        ("T3 primary to wotsit", False),
        ("T3 to core", False),
    ],
)
def test_a_winding_is_apart_from_another_from_its_core_and_from_a_point_that_is_known(
    written: str, apart: bool
) -> None:
    circuit = makers.circuit("power: transformer\nparts:\n  T3: keep, job output transformer, 400 ohm\n")
    found = subject_of(circuit, written)
    assert (found is not None and found.kind == APART) is apart
