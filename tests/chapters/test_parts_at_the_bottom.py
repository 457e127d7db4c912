"""Capacitors with an end wired to the bottom of the supply, and the class of one to a chassis with an earth wire."""

from __future__ import annotations

import pytest

import makers

SET = """line: 230 V 50 Hz
power: transformer
tubes:
  V3: 6C5
  V4: EL41
  V5: 5Z4
parts:
  C1: was 32 uF 450 V electrolytic, now 33 uF 500 V electrolytic, between B+1 and chassis
  C2: was 50 nF 400 V paper, now 47 nF 630 V film, between V4 screen and chassis
  C3: was 10 nF 400 V paper, now 4.7 nF 250 V Y2, between line and chassis
  C4: was 25 uF 25 V electrolytic, now 22 uF 63 V electrolytic, between V3 cathode and chassis
  R1: 2.2 kohm, between V3 cathode and chassis
  R13: 124 ohm, between B- and chassis
wires:
  - V4 cathode, chassis
line side:
  after:
    plug: three-pin with earth
    {lead}
    line to chassis: C3
    touchable: chassis
"""
WITH_LEAD = SET.format(lead="earth lead: third pin to chassis")


def test_a_cathode_that_is_wired_to_the_chassis_makes_no_bypass_of_every_capacitor_there() -> None:
    found = makers.found("parts", WITH_LEAD)
    roles = {row.name: row.effect.role for row in found.rows() if row.effect}
    assert roles["C4"] == "cathode bypass"
    assert "cathode bypass" not in {roles.get(name) for name in ("C1", "C2", "C3")}


@pytest.mark.parametrize(
    ("lead", "needed"),
    [("earth lead: third pin to chassis", "Y"), ("earth lead: none", "Y1"), ("earth lead: through 1 Mohm", "Y1")],
)
def test_to_a_chassis_with_an_earth_wire_class_y_is_enough(lead: str, needed: str) -> None:
    """Y2 is for basic insulation, the earth wire is the other guard (IEC 60384-14, as suppliers have it)."""
    found = makers.found("parts", SET.format(lead=lead))
    (row,) = (row for row in found.rows() if row.name == "C3")
    assert (row.class_needed, row.class_enough) == (needed, needed == "Y")


@pytest.mark.parametrize(("rated", "told"), [("250 V Y2", False), ("275 V X2", False), ("200 V Y2", True)])
def test_a_class_is_held_to_the_nominal_line(rated: str, told: bool) -> None:
    """Each 250 V Y2 is made for 230 V lines; up to 253 V across it was the first thing told of a set in order."""
    text = WITH_LEAD.replace("4.7 nF 250 V Y2", f"4.7 nF {rated}")
    said = [one.text for one in makers.standouts("line_side", text)]
    assert any("puts up to" in one for one in said) is told
