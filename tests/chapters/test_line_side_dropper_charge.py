"""A capacitor as the heaters' dropper lies across the pins of the pulled plug, and an ohmmeter sees its bleeder."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.chapters.line_side.ohmmeter import HOT_PIN, RETURN_PIN

SET = """line: 118 V 60 Hz
power: series string
chassis: through R and C
tubes:
  V1: 6A7
  V2: 6D6
  V3: 75
  V4: 43, output
  V5: 25Z5, rectifier
heaters:
  order: dropper V5 V4 V2 V1 V3
  dropper: resistance cord 160 ohm, now capacitor 9 uF 370 V AC
line side:
  after:
    plug: polarised
    switch: hot lead
    across the line: C20
    touchable: chassis
parts:
  C20: now 47 nF X2
{bleeder}"""
BLEEDER = "  R9: was none, now 470k 1 W, across the dropper\n"


def test_the_dropper_keeps_its_charge_on_the_pins() -> None:
    """“56.4 nF keeps up to 184 V” was told of prongs that 9 uF at 129 V lie across: 75 mJ against 1 mJ.

    By hand: 0.3125 A through 9 uF at 60 Hz are 92.1 V; the crest at 129.8 V of line is 143 V.
    """
    pulled = makers.found("line_side", SET.format(bleeder="")).pulled_plug
    assert pulled.of_dropper
    assert pulled.farads == pytest.approx(9.06e-6, rel=0.01)
    assert pulled.crest_volts == pytest.approx(math.sqrt(2) * 92.1 * 1.1, rel=0.01)
    assert pulled.after_1_s_volts == pulled.crest_volts
    assert pulled.asked
    assert not pulled.drained
    page = makers.plain(makers.page("line_side", SET.format(bleeder="")))
    assert "the capacitor in series with the heaters among it, keeps up to 143" in page


def test_its_bleeder_drains_it_and_is_what_an_ohmmeter_reads() -> None:
    """470 kohm and 9.06 uF: 143 V fall to 143 exp(-1 / 4.26) = 113 V in a second."""
    found = makers.found("line_side", SET.format(bleeder=BLEEDER))
    assert found.pulled_plug.resistor_ohms == pytest.approx(470e3)
    assert found.pulled_plug.after_1_s_volts == pytest.approx(143 * math.exp(-1 / (0.47 * 9.06)), rel=0.01)
    read = [one for step in found.steps for one in step.resistances]
    (pins,) = [one for one in read if {one.between, one.other} == {HOT_PIN, RETURN_PIN} and one.switch == "on"]
    assert pins.low_ohms is not None
    assert pins.low_ohms < 470e3 < pins.high_ohms
    bare = [one for step in makers.found("line_side", SET.format(bleeder="")).steps for one in step.resistances]
    (open_,) = [one for one in bare if {one.between, one.other} == {HOT_PIN, RETURN_PIN} and one.switch == "on"]
    assert open_.open


def test_a_resistor_as_dropper_holds_nothing() -> None:
    text = SET.format(bleeder="").replace(", now capacitor 9 uF 370 V AC", "")
    pulled = makers.found("line_side", text).pulled_plug
    assert not pulled.of_dropper
    assert pulled.farads < 1e-7
