"""Impedance of real capacitors against scikit-rf and ngspice, general-purpose tools that know nothing of ours."""

from __future__ import annotations

import numpy as np
import pytest
import skrf
from skrf.media import DefinedGammaZ0

import ngspice
from benchleaf.electrics.impedance import RealCapacitor, antiresonance, pair_impedance

ELECTROLYTIC = RealCapacitor(22e-6, 0.9, 20e-9)
FILM = RealCapacitor(0.1e-6, 0.02, 10e-9)
HERTZ = [60.0, 1e3, 455e3, 540e3, 1.62e6, 5e6, 10e6, 30e6]


def _network(media: DefinedGammaZ0, part: RealCapacitor) -> skrf.Network:
    series = media.resistor(part.esr_ohms) ** media.inductor(part.esl_henries) ** media.capacitor(part.farads)
    return series ** media.short()


@pytest.mark.parametrize("part", [ELECTROLYTIC, FILM, RealCapacitor(100e-9, 0.05, 1e-9)])
def test_series_circuit_as_scikit_rf_has_it(part: RealCapacitor) -> None:
    """Oracle: scikit-rf, R, L and C cascaded and shorted; its input impedance."""
    media = DefinedGammaZ0(frequency=skrf.Frequency.from_f(HERTZ, unit="Hz"), z0=50)
    found = _network(media, part).z[:, 0, 0]
    ours = np.array([part.impedance(f) for f in HERTZ])
    assert np.allclose(found, ours, rtol=1e-6, atol=1e-6)


def test_two_in_parallel_as_ngspice_has_them() -> None:
    """Oracle: ngspice, AC analysis of both branches on one source of 1 A."""
    lines = ["I1 0 a DC 0 AC 1"]
    for n, part in enumerate((ELECTROLYTIC, FILM)):
        lines += [f"R{n} a b{n} {part.esr_ohms}", f"L{n} b{n} c{n} {part.esl_henries}", f"C{n} c{n} 0 {part.farads}"]
    lines += ["Rleak a 0 1e12"]
    for hertz in HERTZ:
        found = ngspice.alternating(lines, hertz, ["v(a)"])["v(a)"]
        assert pair_impedance(ELECTROLYTIC, FILM, hertz) == pytest.approx(found, rel=1e-5)


@pytest.mark.regression
def test_antiresonance_of_the_fact_sheet() -> None:
    """worked_examples.csv: 10 µF/0.1 ohm/10 nH and 100 nF/0.02 ohm/1 nH: 4.8226 MHz undamped, 0.792 ohm (ngspice)."""
    large, small = RealCapacitor(10e-6, 0.1, 10e-9), RealCapacitor(100e-9, 0.02, 1e-9)
    assert antiresonance(large, small) == pytest.approx(4.8226e6, rel=1e-4)
    assert abs(pair_impedance(large, small, 4.7786e6)) == pytest.approx(0.792, rel=5e-3)
