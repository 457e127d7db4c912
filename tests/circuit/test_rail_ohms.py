"""What an ohmmeter should show before power: rails by hand, and the lines of the bench sheet."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.places import rail
from benchleaf.circuit.rail_ohms import rail_ohms
from benchleaf.pages.cold_checks import cold_checks
from makers import plain

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


def test_the_bench_sheet_says_what_to_expect_before_power() -> None:
    """By hand: 85 V at 150 mA behind 250 ohm on 120 V run at some 149 mA, 561 ohm hot; over 7.2 and 2.7, as published,
    that is 78 to 208 ohm. A voice coil has 0.8 × 3.2 ohm."""
    found = [plain(line) for line in cold_checks(makers.examined(SET + BLEEDER))]
    assert found == [
        "B+1 to B-, plus lead on B+1: 22 kΩ to 24 kΩ when charged",
        "Heater string from end to end, cold: 78 Ω to 210 Ω",
        "T3, primary: 100 Ω to 700 Ω as a rule",
        "Voice coil, transformer off: about 2.6 Ω",
    ]
    measured = SET.replace("job output transformer", "310 ohm, job output transformer, measured 322 ohm")
    (b_plus, *rest) = [plain(line) for line in cold_checks(makers.examined(measured))]
    assert b_plus == "B+1 to B-: no part leads there; it climbs as capacitors charge, and past 50 kΩ"
    assert "T3, primary: 322 Ω" in rest
    assert cold_checks(makers.examined("")) == []
