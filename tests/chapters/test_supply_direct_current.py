"""The direct current of a rectifier tube beside what it may give as it is wired: by hand, from the loads as read."""

from __future__ import annotations

import pytest

import makers
from benchleaf.report.findings import FAULT, NOTE

SET = """line: 120 V 60 Hz
power: series string
tubes:
  V1: 14Q7
  V2: 14A7
  V3: 14B6
  V4: 50A5
  V5: 35Y4
heaters:
  order: V5 V4 V2 V1 V3
{lamp}parts:
  C1: 47 uF 160 V, filter, B+1 to B-
  C2: 22 uF 160 V, filter, B+2 to B-
  R8: {cathode} ohm, V4 cathode to B-
  R9: 1 kohm 2 W, B+1 to B+2
  T3: output transformer, V4 plate to B+1
readings:
  2026-03-04 after:
    line: 120 V
    V4: cathode 7.0
    B+1: 121
    B+2: 96
"""
ON_TAP = "  pilot lamp: #47, on the tap of V5\n"
SHUNTED = ON_TAP + "  shunts:\n    V5 tap: 150 ohm\n"


@pytest.mark.parametrize(
    ("lamp", "cathode", "limit", "over"),
    [
        (ON_TAP, 150, 0.060, True),
        (ON_TAP, 250, 0.060, False),
        (SHUNTED, 150, 0.090, False),
        ("", 150, 0.100, False),
        ("", 68, 0.100, True),
    ],
)
def test_a_rectifier_is_held_to_what_it_may_give_as_it_is_wired(
    lamp: str, cathode: int, limit: float, over: bool
) -> None:
    """25 mA through 1 kohm, and 7.0 V over the cathode resistor less the screen's share at B+2."""
    text = SET.format(lamp=lamp, cathode=cathode)
    direct = makers.found("supply", text).direct
    assert direct.limit_amps == pytest.approx(limit)
    assert 0.025 + 0.8 * 7.0 / cathode < direct.amps < 0.025 + 7.0 / cathode
    assert direct.over is over
    told = [s for s in makers.standouts("supply", text) if "of direct current on and on" in s.text]
    assert [s.severity for s in told] == ([NOTE] if over else []), "its limits are from memory"
    page = makers.plain(makers.page("supply", text))
    assert ("more than it may give" in page.replace("no more than", "")) is over


TRANSFORMER = """line: 120 V 60 Hz
power: transformer
tubes:
  V4: 6V6GT, output
  V5: {type}
heaters:
  windings:
    HT: {winding} V, feeds V5
parts:
  C1: 10 uF 450 V, filter, B+1 to chassis
  C2: 10 uF 450 V, filter, B+2 to chassis
  R8: {cathode} ohm, V4 cathode to chassis
  R9: 1 kohm 2 W, B+1 to B+2
  T3: output transformer, V4 plate to B+1
readings:
  2026-03-04 after:
    line: 120 V
    V5: plate {winding_ac} AC
    V4: cathode 12.0
    B+1: 285
    B+2: 250
"""


@pytest.mark.parametrize(
    ("type_", "each", "cathode", "limit", "severity"),
    [
        ("5Y3GT", 250, 240, 0.125, None),
        ("6X4", 250, 240, 0.070, FAULT),
        ("AZ1", 300, 240, 0.100, None),
        ("AZ1", 400, 240, 0.075, None),
        ("AZ1", 480, 240, 0.060, FAULT),
    ],
)
def test_a_published_limit_makes_a_fault_and_goes_by_the_winding(
    type_: str, each: int, cathode: int, limit: float, severity: int | None
) -> None:
    """6X4: 70 mA (data sheet); AZ1: 100 mA at 2 x 300 V, 75 at 400, 60 at 500 (both as the tube table has them)."""
    text = TRANSFORMER.format(type=type_, winding=f"{each}-0-{each}", winding_ac=each, cathode=cathode)
    first = each * (1.02 if type_ == "6X4" else 1.16)
    text = text.replace("B+1: 285", f"B+1: {first:.0f}").replace("B+2: 250", f"B+2: {first - 36:.0f}")
    findings = makers.found("supply", text)
    assert findings.direct.limit_amps == pytest.approx(limit)
    assert findings.direct.amps == pytest.approx(0.036 + 12 / cathode, abs=0.006)
    told = [s.severity for s in makers.standouts("supply", text) if "of direct current on and on" in s.text]
    assert told == ([severity] if severity else []), (findings.agrees, findings.direct)


@pytest.mark.parametrize(("rated", "over", "told"), [("60 mA", True, 1), ("80 mA", False, 0), ("120 mA", False, 0)])
def test_a_winding_that_must_give_more_than_it_is_written_for_stands_out(rated: str, over: bool, told: int) -> None:
    """By hand: 36 mA through 1 kohm and 12 V over 240 ohm are 86 mA; within a tenth of 80 mA nothing is known."""
    text = TRANSFORMER.format(type="6X4", winding=f"250-0-250 V {rated}", winding_ac=250, cathode=240)
    text = text.replace(f"{rated} V", rated).replace("B+1: 285", "B+1: 255").replace("B+2: 250", "B+2: 219")
    found = makers.found("supply", text).winding
    assert found.name == "HT"
    assert found.over is over
    assert found.amps == pytest.approx(0.036 + 12 / 240, abs=0.006)
    said = [one for one in makers.standouts("supply", text) if "through the winding “HT”" in one.text]
    assert len(said) == told
    page = makers.plain(makers.page("supply", text))
    assert ("more than it is written for" in page.replace("no more than", "")) is over
    assert ("over it by less than it is known to" in page) is (rated == "80 mA")
