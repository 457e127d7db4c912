"""What tubes take by their own resistors, held against what is carried to them."""

from __future__ import annotations

import pytest

import makers
from benchleaf.chapters.readings.rail_sums import RailSum

SET = """line: 230 V 50 Hz
power: transformer
chassis: earthed
tubes:
  V1: EF41, IF
  V2: EF41, IF
  V3: EL41, output
  V5: EZ40, rectifier
readings:
  today:
    line: 230 V
    to: chassis
    B+1: 250
    V1: plate {second}, screen 90, cathode 2.0
    V2: plate {second}, screen 90, cathode 2.0
    V3: plate 190, screen {second}, cathode 6.8{tap}
parts:
  R1: 330 ohm, measured 330 ohm, keep, V1 cathode to chassis
  R2: 330 ohm, measured 330 ohm, keep, V2 cathode to chassis
  R3: 170 ohm, measured 170 ohm, keep, V3 cathode to chassis
  R7: 1 kohm, measured 1 kohm, keep, B+1 to B+2
  R5: 33 kohm, measured 33 kohm, keep, B+2 to V1 screen
  R9: 100 ohm, measured 100 ohm, keep, B- to chassis
  T1: output transformer, 300 ohm, keep, V3 plate to B+2
wires:
  - B+2, V1 plate, V2 plate, V3 screen
  - V1 screen, V2 screen
"""


def sums(second: int, tap: str = "") -> dict[str, RailSum]:
    (run,) = makers.found("readings", SET.format(second=second, tap=tap)).runs
    return {one.via: one for one in run.sums}


@pytest.mark.parametrize(("second", "contradicts", "agrees"), [(198, False, True), (233, True, False)])
def test_what_a_smoothing_resistor_carries_is_held_against_the_cathodes_behind_it(
    second: int, contradicts: bool, agrees: bool
) -> None:
    """Two of 2.0 V / 330 ohm = 6.06 and 6.8 V / 170 ohm = 40 mA are 52.1; 250 - 198 V in 1 kohm are 52, 233 V 17 mA."""
    found = sums(second)["R7"]
    assert found.taken_amps == pytest.approx(0.0521, abs=1e-4)
    assert found.carried_amps == pytest.approx((250 - second) / 1000, rel=0.01)
    assert (found.contradicts, found.agrees) == (contradicts, agrees)
    text = makers.plain(makers.page("readings", SET.format(second=second, tap="")))
    said = (
        "17 mA, uncertain by 9.66 mA; by their resistors V1, V2, V3 take 52.1 mA behind it: a reading"
        if contradicts
        else "the two agree"
    )
    assert said in text


def test_what_the_negative_return_carries_is_held_against_all_cathodes() -> None:
    """5.3 V across 100 ohm are 53 mA."""
    found = sums(198, "\n    B-: -5.3")["R9"]
    assert (found.carried_amps, found.agrees) == (0.053, True)
