"""Two directly heated tubes on one winding have one cathode: half of what its resistor carries is each one's."""

from __future__ import annotations

import pytest

import makers

SET = """line: 115 V 60 Hz
power: transformer
chassis: isolated
tubes:
  V5: {type}, output
  V6: {type}, output
  V7: 80, rectifier
heaters:
  windings:
    out: 2.5 V 3 A, {feeds}
    hot: 5 V, feeds V7
parts:
  R4: 750 ohm, V5 cathode to chassis
  R5: 500k, V5 grid to chassis
  R6: 500k, V6 grid to chassis
  T2: output transformer, V5 plate to V6 plate, ct to B+
readings:
  run:
    line: 115
    to: chassis
    B+: 300
    V5: plate 290, cathode 50
    V6: plate 290
"""


@pytest.mark.parametrize(
    ("type_", "feeds", "one"),
    [("45", "feeds V5 V6", True), ("45", "feeds V5", False), ("6F6", "feeds V5 V6", False)],
)
def test_filaments_on_one_winding_are_one_point(type_: str, feeds: str, one: bool) -> None:
    circuit = makers.circuit(SET.format(type=type_, feeds=feeds))
    first, second = (circuit.places.read(f"{at} cathode") for at in ("V5", "V6"))
    assert circuit.network.same(first, second) is one


def test_both_draw_through_the_resistor_at_their_cathode() -> None:
    """A 45 of 250 V draws 34 mA: two of them make about 50 V across 750 ohm, one some 35."""
    volts = {}
    for feeds in ("feeds V5 V6", "feeds V5"):
        found = makers.found("readings", SET.format(type="45", feeds=feeds))
        (volts[feeds],) = [
            one.volts for one in found.circuit.places if one.at.tube == "V5" and one.at.kind == "cathode"
        ]
    assert 44 < volts["feeds V5 V6"] < 56
    assert volts["feeds V5"] < 42
