"""A converter's oscillator plate, an IF stage on a rail by a wire, and a screen over its volts."""

from __future__ import annotations

import pytest

import makers

CONVERTER = """line: 240 V 50 Hz
power: transformer
chassis: earthed
tubes:
  V1: 6A7, converter
  V2: 6D6, IF amplifier
  V4: 42, output
parts:
  R1: 300 ohm, between V1 cathode and chassis, measured 305 ohm
  R3: 22 kohm, between HT1 and V1 osc plate
  R4: 318 ohm, between V2 cathode and chassis
  T1: output transformer 7000 ohm to 2.5 ohm, V4 plate to HT1
{wires}readings:
  2026-05-05 after:
    line: 241 V
    to: chassis
    HT1: 257
    V1: plate 255, screen 95{osc}, cathode 3.2
    V2: plate 255, screen 95, cathode 3.1
    V4: plate 246, screen 257
"""


def _read(osc: str = ", osc plate 168", wires: str = "") -> str:
    return CONVERTER.format(osc=osc, wires=wires)


def test_the_oscillators_plate_takes_its_share_of_the_cathodes_current() -> None:
    """10.5 mA of the cathode less (257 - 168) V / 22 kohm = 4.05 mA leave 6.4 mA for plate and screen."""
    point = makers.found("readings", _read()).operating["V1"]
    assert point.cathode_amps == pytest.approx(3.2 / 305, rel=2e-3)
    left = 3.2 / 305 - (257 - 168) / 22e3
    assert point.plate_amps + point.screen_amps == pytest.approx(left, rel=5e-3)


def test_a_plate_that_is_left_next_to_nothing_is_not_known() -> None:
    """An octode's plate was told 20 uA, which is what resistors of 10 % leave of 7.2 mA by chance."""
    text = _read().replace("  R3:", "  R5: 27 kohm, HT1 to V1 screen\n  R3:").replace("cathode 3.2", "cathode 3.1")
    point = makers.found("readings", text).operating["V1"]
    assert point.plate_amps is None
    assert any("left for the plate" in lack for lack in point.lacks)


def test_without_its_volts_the_rest_is_not_known() -> None:
    point = makers.found("readings", _read(osc="")).operating["V1"]
    assert point.plate_amps is point.screen_amps is None
    assert point.lacks == ("another section on the same cathode has no known current",)


def test_an_if_stage_on_the_rail_by_a_wire_has_not_the_output_transformers_load() -> None:
    """It was told to amplify 11 times into 7 kohm."""
    circuit = makers.circuit(_read(wires="wires:\n  - HT1, V1 plate, V2 plate\n"))
    assert circuit.load(circuit.places.read("V2 plate")) is None
    assert circuit.load(circuit.places.read("V4 plate")).ohms == 7000


@pytest.mark.parametrize(("screen", "told"), [(74, True), (70.5, True), (69, False), (66, False)])
def test_a_screen_over_its_rated_volts_is_told(screen: float, told: bool) -> None:
    """67.5 V are the most for a 3S4 (from memory); its filament may stand 1.5 V up, and a reading be 2 % off."""
    text = (
        "line: 1.5 V\npower: battery\ntubes:\n  V4: 3S4\nreadings:\n  2026-11-23 after:\n    line: 1.5 V\n"
        f"    to: chassis\n    V4: plate 83, screen {screen}\n"
    )
    said = [one for one in makers.said("readings", text) if "its rating is 67.5" in makers.plain(one)]
    assert bool(said) is told
    if told:
        assert said[0].startswith("V4 screen stands ")


def test_a_cathode_that_was_not_read_leaves_it_open() -> None:
    text = CONVERTER.format(osc="", wires="").replace("screen 95", "screen 140").replace(", cathode 3.1", "")
    assert not any("V2 screen stands" in one for one in makers.said("readings", text))
    both = CONVERTER.format(osc="", wires="").replace("screen 95", "screen 140")
    assert any("V2 screen stands 137" in makers.plain(one) for one in makers.said("readings", both))
