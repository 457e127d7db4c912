"""A rectifier on the line with two plates and two cathodes: side by side, or the second one for the speaker's field."""

from __future__ import annotations

import pytest

import makers
from benchleaf.circuit.closed.closing import close
from benchleaf.circuit.rectifier_feed import plates_beside
from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.steady_state import solve

SET = """line: 117 V 60 Hz
power: series string
chassis: isolated
tubes:
  V2: 78, IF amplifier
  V3: 75, detector and first audio
  V4: 43, output
  V5: 25Z5, rectifier
parts:
  R4: 500 kohm, between V4 grid and B-
  R5: 250 kohm, between V3 plate and B+1
  R6: 3.5 kohm, between V3 cathode and B-
  R7: 300 ohm, between V2 cathode and B-
  R8: 420 ohm, between V4 cathode and B-
  L1: field coil 3000 ohm, between V5 cathode {field} and B-
  L2: filter choke 400 ohm, between V5 cathode 1 and B+1
  T3: 250 ohm, job output transformer, between V4 plate and B+1
  C1: 40 uF 150 V electrolytic, between V5 cathode 1 and B-
  C2: 40 uF 150 V electrolytic, between B+1 and B-
wires:
  - V2 screen, V4 screen, V2 plate, B+1
{wire}readings:
  after:
    line: 117 V
    meter: 10 meg
    to: B-
    V5: cathode 1 118
    B+1: 103
"""
APART = SET.format(field="2", wire="")
JOINED = SET.format(field="1", wire="  - V5 cathode 1, V5 cathode 2\n")
DRAWN = 15 / 400
"""By 118 V and 103 V at the ends of the choke."""


def _by_hand(plates: int, first: float) -> tuple[float, float]:
    """B+ and the crest in one plate, 22 V at 150 mA each (tube table), 10 ohm of line and wiring (common practice)."""
    taps = (FilterTap(40e-6, load_amps=first), FilterTap(40e-6, load_amps=DRAWN, series_ohms=400.0))
    supply = Supply("half-wave", 117 * 2**0.5, 60.0, 10.0, Rectifier.tube(22.0, 0.15 * plates))
    state = solve(supply, Filter(taps))
    return state.mean_volts[0], state.peak_amps / plates


@pytest.mark.parametrize(("text", "plates", "first"), [(APART, 1, 0.0), (JOINED, 2, 118 / 3000)])
def test_plates_that_charge_one_rail_are_counted_and_the_fields_is_not(text: str, plates: int, first: float) -> None:
    """The closed set took both halves for B+, 9 V more than the rectifier's chapter, which took one of two joined."""
    found, circuit = makers.found("supply", text), makers.circuit(text)
    volts, crest = _by_hand(plates, first)
    assert found.nominal.rails[0].volts == pytest.approx(volts, rel=0.005)
    assert found.nominal.peak_amps == pytest.approx(crest, rel=0.05)
    assert plates_beside(circuit, "V5", circuit.places.read("V5 cathode 1")) == plates
    (rectifier,) = close(circuit, "after").net.rectifiers
    assert rectifier.charging.perveance == pytest.approx(plates * 0.15 / 22**1.5)
    assert found.by_circuit is not None
    assert found.by_circuit.holds


def test_the_field_across_the_rail_is_among_what_is_drawn() -> None:
    """Ohm's law: 118 V over 3 kilohm are 39 mA, which were left out."""
    assert makers.found("supply", JOINED).nominal.rails[0].load_amps == pytest.approx(118 / 3000, rel=0.01)
    assert makers.found("supply", APART).nominal.rails[0].load_amps == 0.0


def test_a_transformer_sets_and_a_doublers_plates_are_not_side_by_side() -> None:
    for text in (JOINED.replace("series string", "transformer"), JOINED.replace("  C2: 40", "  C2: job doubler, 40")):
        circuit = makers.circuit(text)
        assert plates_beside(circuit, "V5", circuit.places.read("V5 cathode 1")) == 1


def test_a_cathode_that_is_named_by_its_number_does_not_bring_the_other_with_it() -> None:
    """Of the second half nothing is written: the page says that one was taken; named by no number both are."""
    alone = APART.replace("  L1: field coil 3000 ohm, between V5 cathode 2 and B-\n", "")
    circuit = makers.circuit(alone)
    assert plates_beside(circuit, "V5", circuit.places.read("V5 cathode 1")) == 1
    said = "; ".join(makers.found("supply", alone).assumed)
    assert "one plate of V5 charges V5 cathode 1: the other cathode is not written to lead there" in said
    plain = alone.replace("V5 cathode 1", "B+2").replace("    V5: cathode 1 118\n    B+1", "    B+2: 118\n    B+1")
    plain = plain.replace("B+1", "B+9").replace("B+2", "B+1").replace("B+9", "B+2")
    circuit = makers.circuit(plain)
    assert plates_beside(circuit, "V5", circuit.places.read("B+1")) == 2
    assert "the plates of V5 charge B+1 side by side" in "; ".join(makers.found("supply", plain).assumed)
