"""A resistor in the negative return whose end leaks to its can: tried, told, and summed against the field's current."""

from __future__ import annotations

from typing import Any

import pytest

import makers
from benchleaf.circuit.supposed_faults.can_leaks import TO_ITS_CAN

CONSOLE = """line: 120 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V1: 6SK7, RF
  V2: 6SA7, converter
  V3: 6SK7, IF
  V6: 6K6GT, output
  V7: 6K6GT, output
  V9: 5Y3G, rectifier
parts:
  C1: 16 uF 450 V electrolytic, between B+1 and B-, now 22 uF 450 V, 2025-09-08
  C5: 47 nF 630 V film, between V1 screen and chassis
  R1: 11 k, between B+2 and V1 screen, measured 11.2 k
  R6: 470 k, between V6 grid and B-, measured 480 k
  R7: 470 k, between V7 grid and B-, measured 490 k
  R10: 25 ohm candohm, between chassis and bias, measured 24.6{now}
  R11: 125 ohm candohm, between bias and B-, measured 131{now}
  L1: field coil 900 ohm, between B+1 and B+2, measured 880 ohm
wires:
  - V9 filament, B+1
  - V1 screen, V2 screen, V3 screen
  - V6 screen, V7 screen, B+2
readings:
  2025-09-13:
    line: 117 V
    meter: 10 meg
    to: chassis
    V9: plate 1 352 AC, plate 2 355 AC, filament 322
    B+1: 322
    B+2: 205
    B-: {b_minus}
    bias: {bias}
    V6: plate 197, screen 205, grid {b_minus}
    V7: plate 196, screen 205
    V2: plate 203, screen 84
    V1: plate 203, screen 84
    V3: plate 203, screen 84
"""
"""The field passes 133 mA; 70 mA of it come back through the two resistors when 175 ohm lie from B- to the can."""


def console(b_minus: float = -10.9, bias: float = -1.9, now: str = "") -> str:
    return CONSOLE.format(b_minus=b_minus, bias=bias, now=now)


def causes(text: str) -> Any:
    (one,) = makers.found("readings", text).causes
    return one


def test_an_end_that_leaks_to_the_can_is_found_though_the_resistor_measures_good() -> None:
    one = causes(console())
    first = one.ranked[0]
    assert (first.subject, first.fault) == ("R11", TO_ITS_CAN)
    assert {"B-", "bias", "V6 grid"} <= set(first.explains)
    assert first.cause == "an end of R11 leaks to its can"
    assert "from each of its ends to the can, and to the chassis" in first.then


def test_with_all_of_the_current_in_the_return_no_can_is_accused() -> None:
    """133 mA through 155.6 ohm are 20.7 V."""
    one = causes(console(-20.7, -3.3))
    assert all(cause.fault != TO_ITS_CAN for cause in one.accused if cause.suspect)


def test_a_new_resistor_on_a_strip_has_no_can() -> None:
    one = causes(console(now=", now 125 ohm 10 W, 2025-09-10"))
    assert all(cause.fault != TO_ITS_CAN for cause in one.ranked)


def test_what_goes_past_the_return_is_summed_against_the_field() -> None:
    """117 V over 880 ohm against 10.9 V over 155.6 ohm (Ohm); the rest has 10.9 V across it (Kirchhoff)."""
    found = makers.found("readings", console()).latest.past_return
    assert (found.via, found.parts) == ("L1", ("R10", "R11"))
    assert found.via_amps == pytest.approx(117 / 880, rel=5e-3)
    assert found.amps == pytest.approx(10.9 / 155.6, rel=5e-3)
    assert found.past_amps == pytest.approx(117 / 880 - 10.9 / 155.6, rel=5e-3)
    assert found.past_ohms == pytest.approx(10.9 / (117 / 880 - 10.9 / 155.6), rel=5e-3)
    said = makers.plain(" ".join(one.text for one in makers.standouts("readings", console())))
    assert (
        "L1 carries 133 mA, and R10 and R11, through which all of it goes back, carry 70.1 mA: 62.9 mA go past" in said
    )
    assert "as through 173 Ω from B- to the chassis" in said
    assert "62.9 mA go past them" in makers.plain(makers.page("readings", console()))


@pytest.mark.parametrize("b_minus", [-20.7, -19.0])
def test_a_return_that_carries_it_all_has_nothing_past_it(b_minus: float) -> None:
    assert makers.found("readings", console(b_minus, b_minus / 6.3)).latest.past_return is None
