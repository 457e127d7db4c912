"""A dried-out reservoir against the time domain of the whole filter, which integrates another way."""

from __future__ import annotations

import math

import pytest

from benchleaf.electrics.dried_out import dried_out, steady_means
from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply
from benchleaf.electrics.reservoir import Charging
from benchleaf.electrics.steady_state import solve

HALF = Charging(1, 117 * math.sqrt(2), 30.0, perveance=0.1 / 11**1.5)
FULL = Charging(2, 300 * math.sqrt(2), 150.0, perveance=0.125 / 60**1.5)
DRY = Charging(1, 230 * math.sqrt(2), 47.0, drop_volts=1.0)


@pytest.mark.parametrize(
    ("charging", "microfarads", "ohms"),
    [(HALF, 40, 1700), (HALF, 10, 1700), (HALF, 4, 2500), (FULL, 8, 4000), (FULL, 2, 4000), (DRY, 4, 5000)],
)
def test_mean_volts_are_those_of_the_shooting_method(charging: Charging, microfarads: float, ohms: float) -> None:
    """``steady_state.solve`` integrates by Heun with a load of constant current; here the load is a resistance.

    Where the ripple is small beside the volts the two loads are one; else the mean differs by what the load does
    within a period, so that the bound is wider.
    """
    (volts,) = steady_means(charging, [microfarads * 1e-6], 60.0, [ohms])
    kind = "half-wave" if charging.paths == 1 else "full-wave"
    supply = Supply(kind, charging.peak_volts, 60.0, charging.ohms, Rectifier(charging.perveance, charging.drop_volts))
    found = solve(supply, Filter((FilterTap(microfarads * 1e-6, load_amps=volts / ohms),)))
    ripple = found.ripple_volts[0] / found.mean_volts[0]
    assert volts == pytest.approx(found.mean_volts[0], rel=0.005 + 0.06 * ripple)


def test_less_capacitance_gives_less_and_so_does_more_load() -> None:
    volts = steady_means(HALF, [40e-6, 10e-6, 4e-6], 60.0, [1700.0] * 3)
    assert volts[0] > volts[1] > volts[2]
    loads = steady_means(HALF, [10e-6] * 3, 60.0, [800.0, 1700.0, 6000.0])
    assert loads[0] < loads[1] < loads[2] < HALF.peak_volts


def test_without_load_the_reservoir_stands_at_the_peak() -> None:
    assert steady_means(HALF, [4e-6], 60.0, [1e9])[0] == pytest.approx(HALF.peak_volts, rel=0.01)


def test_tables_rise_in_volts_and_fall_in_amperes() -> None:
    for charging in dried_out(HALF, (10e-6, 4e-6), 60.0, 1700.0):
        volts, amps = zip(*charging.table, strict=True)
        assert list(volts) == sorted(volts)
        assert list(amps) == sorted(amps, reverse=True)


def test_tables_have_their_points_at_half_to_six_times_the_sets_own_resistance() -> None:
    (charging,) = dried_out(HALF, (10e-6,), 60.0, 1700.0)
    assert [volts / amps for volts, amps in charging.table] == pytest.approx([850, 1700, 3400, 10200])


@pytest.mark.parametrize(("farads", "hertz", "ohms"), [(0.0, 60.0, 1e3), (1e-6, 0.0, 1e3), (1e-6, 60.0, 0.0)])
def test_nothing_at_zero(farads: float, hertz: float, ohms: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        steady_means(HALF, [farads], hertz, [ohms])
