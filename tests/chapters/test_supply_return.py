"""A field coil in the negative lead: the ammeter of the whole supply, and one rail that everything hangs on."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings

BACK_BIASED = """line: 240 V 50 Hz
power: transformer
chassis: earthed
tubes:
  V1: 6A7, converter
  V2: 6D6, IF amplifier
  V4: 42, output
  V5: 80, rectifier
heaters:
  windings:
    LT: 6.3 V 3 A, feeds V1 V2 V4
    V5: 5 V 2 A, feeds V5
    HT: 350-0-350 V, measured 352-0-352
parts:
  C15: 10 uF 500 V electrolytic, between HT1 and HT centre tap
  C16: 10 uF 450 V electrolytic, between HT1 and chassis
  R1: 300 ohm, between V1 cathode and chassis, measured 300 ohm
  R3: 22 kohm, between HT1 and V1 osc plate
  R4: 318 ohm, between V2 cathode and chassis
  R5: 20 kohm, between HT1 and V1 screen
  R6: 27 kohm, between V1 screen and chassis
  L1: job field coil, measured 1480 ohm, between HT centre tap and chassis
  T1: job output transformer, measured 310 ohm, between V4 plate and HT1
wires:
  - HT1, V4 screen
  - V1 screen, V2 screen
readings:
  2026-03-04 after:
    line: 241 V
    to: chassis
    V5: cathode 257
    HT centre tap: -99
    V4: plate 246, screen 257
    V1: plate 255, screen 95, osc plate 168, cathode 3.2
    V2: plate 255, screen 95, cathode 3.1
before power:
  - 2026-03-01, mains transformer primary 23 ohm, HT winding 190 + 196 ohm
power-up:
  - date: 2026-03-03
    with: variable transformer
    steps:
      - line 160 V, HT 140
      - line 240 V, HT1 255 V
"""
UNREAD = BACK_BIASED.replace("    HT centre tap: -99\n", "")


def _supply(text: str) -> SupplyFindings:
    found = makers.found("supply", text)
    assert isinstance(found, SupplyFindings)
    assert found.nominal
    return found


def test_a_field_in_the_negative_lead_is_the_ammeter_of_the_whole_supply() -> None:
    """99 V across 1480 ohm are 66.9 mA; HT1 then agrees with the 257 V read: 38 % more was computed by the output
    tube's plate alone."""
    found = _supply(BACK_BIASED)
    assert sum(one.load_amps for one in found.nominal.rails) == pytest.approx(99 / 1480 * 240 / 241, rel=0.01)
    assert abs(found.computed_against_read or 1) < 0.06
    assert found.back_bias
    assert found.back_bias.computed_volts == pytest.approx(99 * 240 / 241, rel=0.01)
    assert "which is where the current is taken from" in makers.page("supply", BACK_BIASED, found)


def test_all_that_hangs_on_the_one_rail_is_summed_where_the_return_was_not_read() -> None:
    """The plate of the output tube, the oscillator's anode, the screens' divider, and the plates of the two others: by
    Kirchhoff's law what they and no screen without a figure take, all from readings and resistors."""
    found = _supply(UNREAD)
    output, osc, divider = (257 - 246) / 310, (257 - 168) / 22e3, (257 - 95) / 20e3
    amps = sum(one.load_amps for one in found.nominal.rails) * 241 / 240
    assert amps > output + osc + divider
    assert amps == pytest.approx(99 / 1480, rel=0.12)


def test_a_reading_that_no_receiver_draws_is_not_taken() -> None:
    found = _supply(BACK_BIASED.replace("measured 1480 ohm", "measured 14.8 ohm"))
    assert sum(one.load_amps for one in found.nominal.rails) < 0.1


def test_the_chart_has_the_rail_against_the_chassis_as_the_rectifier_page_has_it() -> None:
    found = makers.found("power_up", BACK_BIASED)
    nominal = next(p for p in found.curve.points if p.line.line_volts == 240)
    assert nominal.b_plus_volts == pytest.approx(_supply(BACK_BIASED).nominal.rails[0].volts, rel=0.03)


def test_circles_are_promised_where_they_are_drawn() -> None:
    """A rail that was read without its unit is drawn too; what was read behind a lamp is on neither chart."""
    drawn = makers.figures("power_up", BACK_BIASED)
    assert "circles" not in drawn["power-up-current"].description
    assert "circles" in drawn["power-up-b-plus"].description
    behind = makers.figures("power_up", BACK_BIASED.replace("variable transformer", "60 W lamp in series"))
    assert not any("circles" in one.description for one in behind.values())
