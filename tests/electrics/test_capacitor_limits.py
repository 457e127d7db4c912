"""Limits of leakage and ESR against the tables they come from, and reforming logs against plain power laws."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.electrics.capacitor_limits import electrolytic_leakage_limit, esr_when_new, insulation_needed
from benchleaf.electrics.reforming import outlook, volts_across


@pytest.mark.handbook
@pytest.mark.parametrize(("farads", "volts", "amps"), [(20e-6, 450, 1.1e-3), (20e-6, 250, 0.7e-3)])
def test_leakage_limit_of_jan_c_62(farads: float, volts: float, amps: float) -> None:
    """JAN-C-62 with its two worked examples as printed on the amradio list (msg21215)."""
    assert electrolytic_leakage_limit(farads, volts) == pytest.approx(amps)


@pytest.mark.handbook
def test_leakage_factors_of_a_second_source() -> None:
    """The boatanchors list of May 1999 prints the same factors: 0.01, 0.02, 0.025, 0.04 mA/µF."""
    found = [electrolytic_leakage_limit(100e-6, v) for v in (100, 101, 251, 500)]
    assert found == [pytest.approx(x) for x in (1.3e-3, 2.3e-3, 2.8e-3, 4.3e-3)]
    assert electrolytic_leakage_limit(100e-6, 501) is None


@pytest.mark.handbook
@pytest.mark.parametrize(
    ("farads", "volts", "ohms"),
    [
        (farads, volts, ohms)
        for farads, row in (
            (4.7e-6, (40.0, 35.0, 29.0, 24.0, 19.0, 16.0, 13.0)),
            (10e-6, (20.0, 16.0, 14.0, 11.0, 9.3, 7.7, 6.3)),
            (22e-6, (9.0, 7.5, 6.2, 5.1, 4.2, 3.5, 2.9)),
            (47e-6, (4.2, 3.5, 2.9, 2.4, 2.0, 1.60, 1.40)),
            (100e-6, (2.0, 1.60, 1.40, 1.10, 0.90, 0.77, 0.63)),
            (220e-6, (0.90, 0.75, 0.62, 0.51, 0.42, 0.35, 0.29)),
        )
        for volts, ohms in zip((10, 16, 25, 35, 63, 160, 450), row, strict=True)
    ],
)
def test_esr_of_new_capacitors(farads: float, volts: float, ohms: float) -> None:
    """The table at circuitsgallery.com, electrolytic ESR chart; 450 V is taken as its last column, 250 V."""
    assert esr_when_new(farads, volts) == pytest.approx(ohms)


@given(st.floats(4.7e-6, 220e-6), st.floats(10, 500))
def test_esr_falls_with_capacitance(farads: float, volts: float) -> None:
    less, more = esr_when_new(farads, volts), esr_when_new(min(farads * 1.2, 220e-6), volts)
    assert less is not None
    assert more is not None
    assert more <= less * (1 + 1e-9)


@pytest.mark.parametrize(
    ("below", "above"), [(15.9, 10), (24.9, 16), (34.9, 25), (62.9, 35), (159.9, 63), (249.9, 160)]
)
def test_the_column_is_that_of_the_highest_voltage_not_above_the_rated_one(below: float, above: float) -> None:
    assert esr_when_new(47e-6, below) == esr_when_new(47e-6, above) != esr_when_new(47e-6, below + 0.2)


@pytest.mark.parametrize(("volts", "limit"), [(100.0, 0.5), (100.1, 0.7), (250.0, 0.7), (250.1, 0.8), (350.1, 1.1)])
def test_an_electrolytic_may_leak_more_from_each_voltage_on(volts: float, limit: float) -> None:
    """JAN-C-62: k is 0.01, 0.02, 0.025, 0.04 mA/µF up to 100, 250, 350, 500 V; here of 20 µF, in mA."""
    assert electrolytic_leakage_limit(20e-6, volts) == pytest.approx(limit * 1e-3)


def test_the_table_reaches_a_little_below_its_first_size_and_voltage_and_no_further() -> None:
    assert [esr_when_new(farads, 250) is not None for farads in (3.7e-6, 3.8e-6, 220e-6, 221e-6)] == [0, 1, 1, 0]
    assert [esr_when_new(10e-6, volts) is not None for volts in (5.9, 6.0, 6.3)] == [0, 1, 1]
    assert [electrolytic_leakage_limit(20e-6, volts) is not None for volts in (500.0, 500.1)] == [1, 0]
    assert [electrolytic_leakage_limit(farads, 450) is not None for farads in (0.0, 1e-12)] == [0, 1]


def test_no_figure_outside_the_table() -> None:
    assert esr_when_new(1e-6, 250) is None
    assert esr_when_new(1000e-6, 250) is None


def test_insulation_matters_most_at_a_grid() -> None:
    assert insulation_needed(at_a_grid=True) > insulation_needed(at_a_grid=False)


@given(st.floats(0.2, 2.0), st.floats(1e-4, 1e-2))
def test_a_power_law_is_found_again(exponent: float, first: float) -> None:
    log = [(t, first * (t / 60) ** -exponent) for t in (60.0, 600.0, 3600.0, 7200.0)]
    limit = first / 100
    found = outlook(log, limit)
    assert found is not None
    assert found.exponent == pytest.approx(exponent, rel=1e-6)
    assert found.seconds_to_limit == pytest.approx(60 * 100 ** (1 / exponent), rel=1e-6)


def test_settled_rising_hopeless() -> None:
    settled = outlook([(0, 5e-3), (3600, 0.50e-3), (5400, 0.47e-3)], 0.94e-3)
    assert settled is not None
    assert (settled.under_limit, settled.settled, settled.rising, settled.hopeless) == (True, True, False, False)
    rising = outlook([(0, 2e-3), (1800, 1e-3), (3600, 1.5e-3)], 0.5e-3)
    assert rising is not None
    assert rising.rising is True
    never = outlook([(0, 2e-3), (3600, 2.0e-3), (7200, 2.1e-3)], 0.5e-3)
    assert never is not None
    assert never.hopeless is True
    slow = outlook([(0, 5e-3), (3600, 4e-3)], 0.5e-3)
    assert slow is not None
    assert slow.hopeless is True


@pytest.mark.parametrize("amps", [1e-6, 0.5e-3, 5e-3])
def test_settled_means_that_the_last_two_differ_by_less_than_a_tenth(amps: float) -> None:
    """A tenth is common practice, no source. It is a tenth of the reading before, however small the current."""
    for last, settled in ((0.95, True), (1.05, True), (0.89, False), (1.12, False), (0.4, False)):
        found = outlook([(0, amps), (3600, last * amps)], None)
        assert found is not None
        assert found.settled is settled, last


def test_what_a_log_cannot_tell() -> None:
    assert outlook([], 1e-3) is None
    one = outlook([(None, 1e-3)], None)
    assert one is not None
    assert (one.under_limit, one.settled, one.exponent, one.hopeless) == (None, None, None, None)
    assert outlook([(0.0, 0.0), (60.0, 0.0)], 1e-3) is not None


def test_volts_behind_the_series_resistor() -> None:
    """By hand: 350 V − 47 kohm × 0.42 mA = 330.3 V."""
    assert volts_across(350, 47e3, 0.42e-3) == pytest.approx(330.26)
    assert volts_across(100, 1e6, 1) == 0.0
    assert math.isfinite(volts_across(0, 0, 0))
