"""A winding from plate to plate is two halves, and a stage that works into its cathode is not judged by a guess."""

from __future__ import annotations

import pytest

import makers

SET = """line: 117 V 60 Hz
power: transformer
tubes:
  V5: 6F5
  V6: 6C5
  V7: 6F6
  V8: 6F6
  V10: 5Z4
heaters:
  windings:
    HT: 350-0-350 V, feeds V10
parts:
  C1: 22 uF 500 V electrolytic, between B+1 and chassis
  C2: 22 uF 500 V electrolytic, between B+2 and chassis
  L1: job field coil, measured 815 ohm, between B+1 and B+2
  R4: 240 kohm, between V5 plate and B+2
  R15: 4.3 kohm, between V5 cathode and chassis
  R5: 100 kohm, between V6 plate and B+2
  R6: 100 kohm, between V6 cathode and chassis
  R9: 300 ohm, between V7 cathode and chassis
  T3: output transformer, V7 plate to V8 plate{centre}, 210 + 228 ohm
wires:
  - V7 cathode, V8 cathode
readings:
  2025-03-08 after:
    line: 117 V
    V5: plate 160, cathode 1.6
    V6: plate 196, cathode 74
    V7: plate 264, screen 272, cathode 21
    V8: plate 263, screen 272
    B+1: 364
    B+2: 272
"""


@pytest.mark.parametrize(
    ("centre", "at"), [(", ct to B+2", "B+2"), (", center tap at B+2", "B+2"), ("", "T3 centre tap")]
)
def test_two_values_from_plate_to_plate_are_halves(centre: str, at: str) -> None:
    network = makers.circuit(SET.format(centre=centre)).network
    halves = [one for one in network.elements if one.listed.part == "T3"]
    ends = [tuple(end.name() for end in one.ends) for one in halves]
    assert ends == [("V7 plate", at), (at, "V8 plate")]


def test_each_tube_has_the_current_of_its_half() -> None:
    """8 V over 210 ohm and 9 V over 228: 38.1 and 39.5 mA; 1 V across the two side by side was told as 9 mA."""
    found = makers.findings("readings", SET.format(centre=", ct to B+2"))
    drops = {name: found.operating[name].drop_amps for name in ("V7", "V8")}
    assert drops == {"V7": pytest.approx(8 / 210, rel=0.01), "V8": pytest.approx(9 / 228, rel=0.01)}


def test_a_stage_that_works_into_its_cathode_is_not_judged_by_an_assumed_leak() -> None:
    """74 V at the cathode of a split-load inverter is right, and was told as far above 14 V."""
    text = SET.format(centre=", ct to B+2")
    found = makers.findings("readings", text)
    assert not [one for one in found.worked_out if one.at.tube == "V6"]
    assert [one for one in found.worked_out if one.at.tube == "V5"]
    assert found.circuit
    assert "where the leak ends of V6 grid" in [lacking.said() for lacking in found.circuit.lacks]
    assert not any("V6" in one.text for one in makers.standouts("readings", text, found))


def test_with_its_leak_written_it_is_judged() -> None:
    text = SET.format(centre=", ct to B+2").replace("  R9:", "  R16: 470 kohm, between V6 grid and V5 plate\n  R9:")
    found = makers.findings("readings", text)
    assert [one for one in found.worked_out if one.at.tube == "V6"]


@pytest.mark.parametrize(("plate", "cathode", "load"), [("10", "4.7", True), ("10", "2", False), ("100", "4.7", False)])
def test_a_cathode_resistor_of_a_quarter_of_the_plates_is_a_load(plate: str, cathode: str, load: bool) -> None:
    """That of a split-load inverter is the plate's own size; one for bias is a few hundredths of it."""
    text = SET.format(centre=", ct to B+2").replace("R5: 100 kohm", f"R5: {plate} kohm")
    found = makers.findings("readings", text.replace("R6: 100 kohm", f"R6: {cathode} kohm"))
    assert found.circuit
    assert ("where the leak ends of V6 grid" in [lacking.said() for lacking in found.circuit.lacks]) is load


@pytest.mark.parametrize("tap", ["tap B+2", "centre tap to B+2", "ct at B+2"])
def test_one_value_with_its_tap_said_is_halved(tap: str) -> None:
    """A winding of 438 ohm from plate to plate fed neither plate: its stages had no supply."""
    one = SET.format(centre="").replace("210 + 228 ohm", f"{tap}, 438 ohm")
    assert one != SET.format(centre="")
    network = makers.circuit(one).network
    halves = [element for element in network.elements if element.listed.part == "T3"]
    assert [tuple(end.name() for end in half.ends) for half in halves] == [("V7 plate", "B+2"), ("B+2", "V8 plate")]
    ohms = [seen.value for half in halves for seen in (half.listed.piece.was,) if seen]
    assert ohms == [219.0, 219.0]


def test_each_of_two_tubes_has_half_of_what_is_matched_from_plate_to_plate() -> None:
    matched = "output transformer 8k plate to plate to 4 ohm, ct to B+2,"
    text = SET.format(centre="").replace("output transformer,", matched)
    circuit = makers.circuit(text)
    load = circuit.load(circuit.places.read("V7 plate"))
    assert load is not None
    assert (load.how, load.ohms) == ("reflected", 4000.0)
