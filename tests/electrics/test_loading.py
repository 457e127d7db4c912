"""Meter loading against textbook examples and ngspice."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.loading import in_parallel, meter_ohms, true_volts


def reading_of(volts: float, source: float, meter: float) -> float:
    """What a meter shows: it divides the volts with the source's resistance."""
    return volts / (1 + source / meter)


@pytest.mark.handbook
def test_ten_megohm_meter_on_a_divider_of_250_megohms() -> None:
    """T. Kuphaldt, Lessons in Electric Circuits, DC ch. 8: 12 V behind 125 megohm: 0.8889 V; parallel 9.615 megohm."""
    assert true_volts(0.8889, in_parallel(250e6, 250e6), 10e6) == pytest.approx(12, abs=5e-5 * 13.5)
    assert in_parallel(250e6, 10e6) == pytest.approx(9.615e6, rel=1e-4)


@pytest.mark.handbook
def test_twenty_thousand_ohms_per_volt_on_its_twenty_volt_range() -> None:
    """edudirectory electronics tutorial: 30 V over 400 and 400 kohm reads 10 V, true 15 V."""
    source = in_parallel(400e3, 400e3)
    assert meter_ohms(20e3, 20) == 400e3
    assert true_volts(10, source, meter_ohms(20e3, 20)) == pytest.approx(15)


@pytest.mark.handbook
def test_five_hundred_ohms_per_volt_on_its_150_volt_range() -> None:
    """FOSSEE Textbook Companion 2360, Ex. 3.14: 250 V, 20 kohm before 25 kohm: true 138.89 V, reads 120.97 V."""
    source, true = in_parallel(20e3, 25e3), 250 * 25 / 45
    assert true == pytest.approx(138.89, abs=0.005)
    assert true_volts(120.97, source, meter_ohms(500, 150)) == pytest.approx(true, abs=0.006)


@pytest.mark.handbook
def test_thousand_ohms_per_volt_across_what_it_measures() -> None:
    """FOSSEE Textbook Companion 174, Ex. 1.7 (Helfrick and Cooper): 20 kohm apparent with 150 kohm across: 23.08."""
    assert in_parallel(23.08e3, meter_ohms(1000, 150)) == pytest.approx(20e3, rel=1e-3)


def test_triode_plate_is_load_parallel_to_plate_resistance() -> None:
    """470 kohm load and 62.5 kohm plate resistance: 55 kohm, not 470."""
    assert in_parallel(470e3, 62.5e3) == pytest.approx(55164, rel=1e-4)


def test_detector_plate_seen_by_an_old_meter_agrees_with_ngspice() -> None:
    """90 V through 470 kohm onto 62.5 kohm, 1000 ohm/V on 50 V across it."""
    lines = ["Vb b 0 90", "Rl b p 470k", "Rp p 0 62.5k"]
    true = ngspice.direct(lines, ["v(p)"])["v(p)"]
    loaded = ngspice.direct([*lines, "Rm p 0 50k"], ["v(p)"])["v(p)"]
    assert true_volts(loaded, in_parallel(470e3, 62.5e3), meter_ohms(1000, 50)) == pytest.approx(true, rel=1e-9)


def test_open_and_short_in_parallel() -> None:
    assert in_parallel(math.inf, math.inf) == math.inf
    assert in_parallel(100, 0) == 0
    assert true_volts(12, 1e6, math.inf) == 12


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: in_parallel(),
        lambda: in_parallel(-1, 5),
        lambda: in_parallel(math.nan),
        lambda: meter_ohms(0, 250),
        lambda: true_volts(1, -1, 1e6),
        lambda: true_volts(1, 1e3, 0),
        lambda: true_volts(1, math.inf, 1e6),
    ],
)
def test_resistance_that_cannot_be_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match=r"must be"):
        wrong()


@settings(derandomize=True)
@given(st.floats(-500, 500), st.floats(0, 1e7), st.floats(1e3, 1e8))
def test_reading_and_true_volts_undo_each_other(volts: float, source: float, meter: float) -> None:
    shown = reading_of(volts, source, meter)
    assert true_volts(shown, source, meter) == pytest.approx(volts, rel=1e-12, abs=1e-300)
    assert abs(shown) <= abs(volts)
