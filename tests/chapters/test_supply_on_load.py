"""Volts of a winding that hold on load or off it: what the record says counts, and the page says what was taken."""

from __future__ import annotations

import math

import pytest

import makers
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.winding_source import usual_drain, winding_source
from benchleaf.electrics.dc_elements import DcVariant
from benchleaf.electrics.dc_network import solve
from benchleaf.electrics.winding_drop import winding_drop_volts

SET = """line: 120 V 60 Hz
power: transformer
tubes:
  V1: 6K7, IF amplifier
  V5: 6F6, output
  V6: 5Y3GT, rectifier
heaters:
  windings:
    HT: {winding}
parts:
  C12: 16 uF 450 V electrolytic, between B+1 and chassis
  C13: 16 uF 450 V electrolytic, between B+2 and chassis
  R20: 1 kohm, between B+1 and B+2
  R7: 400 ohm, between V5 cathode and chassis
  T2: 300 ohm, job output transformer, between V5 plate and B+2
  R1: 300 ohm, between V1 cathode and chassis
  R2: 47 kohm, between V1 screen and B+2
wires:
  - V5 screen, B+2
  - V1 plate, B+2
readings:
  after:
    line: 120 V
    {read}B+1: 300
    B+2: 240
    V5: cathode 17
"""
WINDING = "340-0-340 V, feeds V6"
AMPS = 0.06
"""60 V over 1 kilohm; nothing else hangs on the first rail."""
DROP = winding_drop_volts(AMPS, 75.0, 75.0, halves=True)


def supply(winding: str = WINDING, read: str = ""):
    return makers.found("supply", SET.format(winding=winding, read=f"{read}\n    " if read else ""))


@pytest.mark.parametrize("word", ["on load", "loaded", "under load"])
def test_volts_measured_on_load_are_less_than_those_without(word: str) -> None:
    loaded, bare = supply(f"{WINDING}, {word}"), supply("340-0-340 V, feeds V6, no load")
    risen = supply(f"{340 + DROP:.2f}-0-{340 + DROP:.2f} V, feeds V6, no load")
    assert loaded.nominal.rails[0].volts == pytest.approx(risen.nominal.rails[0].volts, rel=0.002)
    assert loaded.nominal.rails[0].volts > 1.02 * bare.nominal.rails[0].volts
    assert f"on load: {340 + DROP:.0f} V without it" in makers.plain(loaded.rests_on)
    assert loaded.if_loaded_volts is None


@pytest.mark.parametrize("word", ["off load", "unloaded", "open", "tubes out", "open circuit"])
def test_volts_measured_off_load_are_taken_as_they_are(word: str) -> None:
    found = supply(f"{WINDING}, {word}")
    assert makers.plain(found.rests_on) == "340 V AC of the winding, as rated, off load"
    assert found.if_loaded_volts is None


def test_what_is_not_written_is_said_with_what_it_would_be_otherwise() -> None:
    found = supply()
    loaded = supply(f"{WINDING}, on load")
    assert "taken as off load" in found.rests_on
    assert found.if_loaded_volts == pytest.approx(loaded.nominal.rails[0].volts, rel=0.003)
    page = makers.plain(makers.page("supply", SET.format(winding=WINDING, read="")))
    assert "Whether the AC volts hold on load or off it is not written" in page
    # A reading between the two is neither above nor below what is computed.
    low, high = found.nominal.rails[0].volts, found.if_loaded_volts
    between = SET.format(winding=WINDING, read="").replace("B+1: 300", f"B+1: {(low + high) / 2:.1f}")
    between = between.replace("B+2: 240", f"B+2: {(low + high) / 2 - 60:.1f}")
    assert makers.found("supply", between).computed_against_read == 0.0


def test_a_rating_holds_for_the_current_beside_it() -> None:
    """340 V at 120 mA have twice the loss of 60 mA within."""
    found = supply("340-0-340 V 120 mA, feeds V6")
    assert f"on load with 120 mA: {340 + 2 * DROP:.0f} V without it" in makers.plain(found.rests_on)


def test_volts_at_the_plates_of_a_set_at_work_hold_on_load() -> None:
    found = supply(read="V6: plate 340 AC")
    assert f"340 V AC as read in after (line 120 V), on load: {340 + DROP:.0f} V without it" == makers.plain(
        found.rests_on
    )


def test_the_closed_set_has_the_same_volts_before_its_rectifier() -> None:
    """Both take the loss by the current that they find; the cold peak of the filters rests on it too."""
    text = SET.format(winding=WINDING, read="V6: plate 340 AC\n    ")
    circuit = makers.circuit(text)
    closed = close(circuit, "after")
    (rectifier,) = closed.net.rectifiers
    volts = solve(closed.net, (DcVariant(),)).volts[0]
    first, second = (closed.node(circuit.places.read(at)) for at in ("B+1", "B+2"))
    amps = (volts[first] - volts[second]) / 1000
    expected = math.sqrt(2) * (340 + winding_drop_volts(amps, 75.0, 75.0, halves=True))
    assert rectifier.charging.peak_volts == pytest.approx(expected, rel=0.002)
    source = winding_source(circuit, "after", "now", None)
    cold = makers.found("parts", text).supply
    bare = source.no_load(usual_drain(circuit, "after")).volts
    assert cold.volts == pytest.approx(math.sqrt(2) * bare * 1.1)
    assert cold.no_load_volts == pytest.approx(bare, rel=0.005)
