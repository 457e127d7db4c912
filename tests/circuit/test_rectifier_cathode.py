"""A rectifier's cathode is one point with its heater where the type ties them, and with the ends of its filament."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.supply.findings import SupplyFindings

SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V7: 6F6
  V10: 5Z4
heaters:
  windings:
    HT: 350-0-350 V, feeds V10, measured 352-0-351
parts:
  C1: 16 uF 450 V electrolytic, between {first} and chassis
  C2: 16 uF 450 V electrolytic, between {last} and chassis
  L1: job field coil, 850 ohm, between {first} and {last}
readings:
  2026-03-04 after:
    line: 117 V
    V7: plate 264, screen 272
    {first}: 364
    {last}: 272
"""


@pytest.mark.parametrize("type_", ["5Z4", "5V4G", "5AR4", "83V", "5U4G", "80"])
@pytest.mark.parametrize("word", ["heater", "filament", "fil", "k"])
def test_every_word_for_it_is_one_point(type_: str, word: str) -> None:
    """Pins as the tube handbooks have them: of 5Z4, 5V4G and 5AR4 pin 8 is heater and cathode (RCA RC-14, RC-30)."""
    places = makers.circuit(f"tubes:\n  V10: {type_}\n").places
    assert places.read(f"V10 {word}") == places.read("V10 cathode")
    assert places.read(f"V10 {word}").kind == "B+"


@pytest.mark.parametrize("type_", ["5Z4", "5V4G", "5AR4", "5U4G", "5Y3GT"])
def test_both_pins_of_heater_or_filament_are_that_point(type_: str) -> None:
    places = makers.circuit(f"tubes:\n  V10: {type_}\n").places
    assert places.read("V10 pin 2") == places.read("V10 pin 8") == places.read("V10 cathode")


@pytest.mark.parametrize("type_", ["6X5GT", "35Z5GT"])
def test_a_cathode_of_its_own_is_parted_from_the_heater(type_: str) -> None:
    places = makers.circuit(f"tubes:\n  V10: {type_}\n").places
    assert places.read("V10 heater") != places.read("V10 cathode")


def _supply(first: str, last: str) -> SupplyFindings:
    found = makers.findings("supply", SET.format(first=first, last=last))
    assert isinstance(found, SupplyFindings)
    return found


def test_the_filter_is_the_same_however_its_first_point_is_named() -> None:
    """Capacitor and field coil written at the cathode dropped out of the filter, and 472 V stood where 388 V belong."""
    named, at_cathode = _supply("B+1", "B+2"), _supply("V10 cathode", "B+")
    assert named.nominal
    assert at_cathode.nominal
    assert [one.volts for one in at_cathode.nominal.rails] == [one.volts for one in named.nominal.rails]
    assert [(one.rail, one.part) for one in at_cathode.nominal.rails] == [("V10 cathode", "C1"), ("B+", "C2")]
    assert at_cathode.agrees is True
