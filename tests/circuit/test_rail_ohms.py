"""What an ohmmeter should show from rail to rail before power, by hand."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.places import rail
from benchleaf.circuit.rail_ohms import rail_ohms

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V4: 50C5, output
  V5: 35W4, rectifier
heaters:
  dropper: 250 ohm 10 W
speaker: 3.2 ohm
parts:
  C12: now 47 uF 200 V electrolytic, between B+1 and B-
  R9: keep, 1 kohm, measured 1.01 kohm, between B+1 and B+2
  T3: keep, job output transformer, between V4 plate and B+1
"""
BLEEDER = "  R12: now 22 kohm 5 %, between B+2 and B-\n"


def test_a_bleeder_and_what_leads_to_it_add_up() -> None:
    """By hand: 1.01 kohm ± 3 % and 22 kohm ± 5 %: 0.98 + 20.9 = 21.9 kohm to 1.04 + 23.1 = 24.1 kohm."""
    found = rail_ohms(makers.circuit(SET + BLEEDER), rail("B+1"))
    assert found.low_ohms == pytest.approx(1010 * 0.97 + 22e3 * 0.95)
    assert found.high_ohms == pytest.approx(1010 * 1.03 + 22e3 * 1.05)


def test_without_a_path_and_with_one_that_nobody_measured() -> None:
    assert rail_ohms(makers.circuit(SET), rail("B+1")).high_ohms is None
    unwritten = SET + "  R12: keep, job bleeder, between B+2 and B-\n"
    found = rail_ohms(makers.circuit(unwritten), rail("B+1"))
    assert (found.low_ohms, found.known) == (None, False)
    gone = rail_ohms(
        makers.circuit(SET + BLEEDER.replace("now 22 kohm 5 %", "was 22 kohm, measured open")), rail("B+1")
    )
    assert (gone.low_ohms, gone.known) == (None, True)


def test_a_tolerance_that_cannot_be_leaves_ohms_above_zero() -> None:
    found = rail_ohms(makers.circuit(SET + BLEEDER.replace("5 %", "900 %")), rail("B+1"))
    assert (found.low_ohms, found.known) == (None, False)
