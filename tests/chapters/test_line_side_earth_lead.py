"""A current in the wire to earth is computed as such, and one of which nothing says where it was read is not judged."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.line_side.findings import LineSideFindings

SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V10: 5Z4
parts:
  C11: 4.7 nF Y2, between line and chassis
  C12: 4.7 nF Y2, between neutral and chassis
line side:
  after:
    plug: three-pin with earth
    switch: hot lead
    earth lead: third pin to chassis
    line to chassis: C11, C12
    touchable: chassis
  measured:
    - {}
"""


def _found(measured: str) -> LineSideFindings:
    found = makers.found("line_side", SET.format(measured))
    assert isinstance(found, LineSideFindings)
    return found


@pytest.mark.parametrize("words", ["ground wire", "in the earth lead", "note in the ground wire"])
def test_a_current_in_the_earth_lead_is_that_of_the_capacitors(words: str) -> None:
    """117 V across 4.7 nF at 60 Hz: 0.207 mA through the one on the hot lead, whichever way the two are wired."""
    (touch,) = _found(f"2025-03-08, plug right, switch on, 0.21 mA, {words}").measured
    assert touch.part == "earth lead"
    assert touch.amps
    assert touch.amps.computed == pytest.approx(117 * 2 * math.pi * 60 * 4.7e-9, rel=0.01)
    assert touch.agrees is True


def test_where_the_position_is_not_written_the_band_holds_every_one() -> None:
    """Reversed and switched off, both capacitors hang on the hot lead, by way of the primary: twice the current, with
    what 2 nF of the primary itself pass."""
    (touch,) = _found("2025-03-08, ground wire, 0.4 mA").measured
    assert touch.amps
    farads = 2 * 4.7e-9 * 1.2 + 2e-9
    assert touch.amps.high == pytest.approx(117 * 1.1 * 2 * math.pi * 60 * farads, rel=0.1)
    assert touch.agrees is True


def test_twice_as_much_there_is_told_with_what_was_computed() -> None:
    read = "2025-03-08, ground wire, plug right, switch on, 0.4 mA"
    found = _found(read)
    (said,) = (one.text for one in makers.standouts("line_side", SET.format(read), found)
               if "Measured" in one.text)  # fmt: skip
    assert said.replace("\u202f", " ").startswith("Measured 400 µA at the ground wire, computed 20")


def test_a_current_without_a_word_is_not_judged_where_there_is_an_earth_lead() -> None:
    found = _found("2025-03-08, 0.4 mA")
    (touch,) = found.measured
    assert (touch.agrees, touch.amps and touch.amps.computed) == (None, None)
    assert not any("not wired as written" in one.text for one in makers.standouts("line_side", SET.format(""), found))


def test_at_the_chassis_it_is_what_a_hand_meets() -> None:
    (touch,) = _found("2025-03-08, chassis, 0.4 mA").measured
    assert touch.agrees is False
