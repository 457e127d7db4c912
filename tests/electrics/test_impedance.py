"""Reactances, resonances and real capacitors against print, ngspice and closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.impedance import (
    RealCapacitor,
    antiresonance,
    capacitive_reactance,
    corner_frequency,
    frequency_for_reactance,
    grid_offset_volts,
    inductive_reactance,
    leakage_resistance,
    pair_impedance,
    resonance,
)

ELECTROLYTIC = RealCapacitor(10e-6, 0.1, 10e-9)
FILM = RealCapacitor(100e-9, 0.02, 1e-9)

PRINTED_REACTANCES = [
    (4e-6, 50, 800, 0.01),  # radiotrician.org, capacitors in series heater chains
    (2e-6, 1000, 79.6, 0.001),  # expertsmind.com solved problem
    (0.1e-6, 1400, 1140, 0.01),  # FOSSEE Textbook Companion 2240, Ex. 17.1 (Grob 11e)
    (1e-6, 1400, 114, 0.01),  # the same
    (47e-12, 1e6, 3388, 0.002),  # FOSSEE Textbook Companion 2240, Ex. 17.2 (Grob 11e)
    (47e-12, 1e7, 338.8, 0.002),  # the same
]


@pytest.mark.handbook
@pytest.mark.parametrize(("farads", "hertz", "ohms", "tolerance"), PRINTED_REACTANCES)
def test_reactance_as_printed(farads: float, hertz: float, ohms: float, tolerance: float) -> None:
    """Sources beside each row."""
    assert capacitive_reactance(farads, hertz) == pytest.approx(ohms, rel=tolerance)


@pytest.mark.regression
def test_line_to_chassis_capacitor_of_0_05_microfarads() -> None:
    """worked_examples.csv, pint 0.25.3: 53.0516 kohm at 60 Hz."""
    assert capacitive_reactance(0.05e-6, 60) == pytest.approx(53051.64769729845, rel=1e-14)


@pytest.mark.handbook
def test_ten_microfarads_reach_a_hundred_ohms_at_159_hertz() -> None:
    """FOSSEE Textbook Companion 2240, Ex. 17.4 (Grob 11e)."""
    assert frequency_for_reactance(10e-6, 100) == pytest.approx(159, rel=2e-3)
    assert corner_frequency(100, 10e-6) == frequency_for_reactance(10e-6, 100)


@pytest.mark.handbook
def test_ten_microfarads_and_a_hundred_millihenries() -> None:
    """T. Kuphaldt, Lessons in Electric Circuits, AC ch. 6: 159.155 Hz, both reactances 100 ohm."""
    hertz = resonance(0.1, 10e-6)
    assert hertz == pytest.approx(159.155, abs=5e-4)
    assert inductive_reactance(0.1, hertz) == pytest.approx(100)
    assert capacitive_reactance(10e-6, hertz) == pytest.approx(100)


@pytest.mark.handbook
def test_hundred_nanofarads_with_its_lead_inductance() -> None:
    """hypercode.alexisbouchez.com: 50 milliohm, 1 nH: 1.5865 ohm at 1 MHz; 50 milliohm at 15.915 MHz."""
    capacitor = RealCapacitor(100e-9, 0.05, 1e-9)
    assert abs(capacitor.impedance(1e6)) == pytest.approx(1.5865, rel=1e-3)
    hertz = capacitor.self_resonance()
    assert hertz == pytest.approx(15.915e6, rel=1e-4)
    assert hertz is not None
    assert abs(capacitor.impedance(hertz)) == pytest.approx(0.05)
    assert RealCapacitor(100e-9).self_resonance() is None


@pytest.mark.regression
def test_hundred_nanofarads_as_scikit_rf_has_it() -> None:
    """scikit-rf 2.2.0: 1.58605, 0.05000 and 0.61444 ohm at 1, 15.915 and 100 MHz."""
    capacitor = RealCapacitor(100e-9, 0.05, 1e-9)
    sizes = [round(abs(capacitor.impedance(f)), 5) for f in (1e6, 15.915e6, 100e6)]
    assert sizes == [1.58605, 0.05, 0.61444]


@pytest.mark.regression
def test_electrolytic_with_a_film_part_across_it_has_a_peak() -> None:
    """worked_examples.csv, ngspice 39: 0.792 ohm at 4.7786 MHz; without losses 4.8226 MHz."""
    assert antiresonance(ELECTROLYTIC, FILM) == pytest.approx(4.8226e6, rel=1e-4)
    assert abs(pair_impedance(ELECTROLYTIC, FILM, 4.7786e6)) == pytest.approx(0.7919, abs=1e-4)
    for hertz in (4.70e6, 4.85e6):
        assert abs(pair_impedance(ELECTROLYTIC, FILM, hertz)) < 0.792
    assert antiresonance(RealCapacitor(1e-6), RealCapacitor(1e-9)) is None


@pytest.mark.parametrize("hertz", [60.0, 455e3, 1e6, 4.8e6, 30e6])
def test_pair_of_capacitors_agrees_with_ngspice(hertz: float) -> None:
    lines = ["I1 0 n0 DC 0 AC 1"]
    for k, c in enumerate((ELECTROLYTIC, FILM)):
        lines += [f"R{k} n0 a{k} {c.esr_ohms}", f"L{k} a{k} b{k} {c.esl_henries}", f"C{k} b{k} 0 {c.farads}"]
    theirs = ngspice.alternating(lines, hertz, ["v(n0)"])["v(n0)"]
    assert pair_impedance(ELECTROLYTIC, FILM, hertz) == pytest.approx(theirs, rel=1e-9)


def test_lossless_pair() -> None:
    """At omega 1/s: 1 F with 1 H is a short, 1 F is -1 ohm, 1 F with 2 H is +1 ohm, and -1 and +1 together are open."""
    shorted, minus, plus = (RealCapacitor(1.0, 0, henries) for henries in (1.0, 0.0, 2.0))
    hertz = 1 / (2 * math.pi)
    assert pair_impedance(shorted, minus, hertz) == 0
    assert pair_impedance(shorted, shorted, hertz) == 0
    assert pair_impedance(minus, plus, hertz).real == math.inf


def test_leakage_of_38_microamperes_at_200_volts_on_the_next_grid() -> None:
    """Ohm's law: 38 uA at 200 V is 5.26 megohm; as a divider with 470 kohm, 92 V before it puts 7.5 V on the grid."""
    ohms = leakage_resistance(200, 38e-6)
    assert ohms == pytest.approx(5.26e6, rel=1e-3)
    assert grid_offset_volts(92, ohms, 470e3) == pytest.approx(7.5, abs=0.05)
    assert leakage_resistance(200, 0) == math.inf
    assert grid_offset_volts(92, math.inf, 470e3) == 0


def test_capacitor_blocks_direct_current() -> None:
    assert capacitive_reactance(1e-6, 0) == math.inf
    assert inductive_reactance(10, 0) == 0


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: capacitive_reactance(-1e-6, 50),
        lambda: frequency_for_reactance(0, 100),
        lambda: resonance(0, 1e-6),
        lambda: RealCapacitor(0),
        lambda: RealCapacitor(1e-6, -1),
        lambda: RealCapacitor(1e-6, math.nan),
        lambda: RealCapacitor(1e-6).impedance(0),
        lambda: leakage_resistance(200, -1e-6),
        lambda: grid_offset_volts(90, -1, 470e3),
    ],
)
def test_value_that_cannot_be_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match="needed"):
        wrong()


parts = st.builds(RealCapacitor, st.floats(1e-12, 1e-3), st.floats(1e-4, 10), st.floats(0, 1e-7))


@settings(derandomize=True)
@given(parts, parts, st.floats(10, 1e8))
def test_pair_never_generates_power_and_order_does_not_matter(
    one: RealCapacitor, other: RealCapacitor, hertz: float
) -> None:
    together = pair_impedance(one, other, hertz)
    assert together.real >= 0 or together.real == pytest.approx(0, abs=1e-9 * abs(together))
    assert pair_impedance(other, one, hertz) == pytest.approx(together, rel=1e-9)
