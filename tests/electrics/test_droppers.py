"""Droppers, series capacitors, diodes and windings against published examples."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.droppers import (
    SeriesResistor,
    behind_half_wave_diode,
    dropper_for,
    left_for_dropper,
    rating_for,
    series_capacitor_for,
)
from benchleaf.electrics.heaters import HeaterElement, running_string


@pytest.mark.handbook
def test_hundred_milliamp_string_on_240_volts() -> None:
    """vintage-radio.com, heater dropper calculations: 240 V, 116.6 V, 0.1 A; printed from 117 V: 1230 ohm, 12.3 W."""
    dropper = dropper_for(240, 116.6, 0.1)
    assert dropper is not None
    assert dropper.ohms == pytest.approx(1234, rel=1e-12)
    assert dropper.watts == pytest.approx(12.34, rel=1e-12)
    assert dropper_for(240, 117, 0.1) == SeriesResistor(1230, 12.3)


@pytest.mark.handbook
def test_ballast_of_three_six_volt_and_two_twenty_five_volt_tubes() -> None:
    """6v6.co.uk, ballast tubes: 68.9 V (69) of heaters on 117 V, the ballast drops 48 V; 160 ohm, 14.4 W at 0.3 A."""
    assert left_for_dropper(117, 68.9) == pytest.approx(48, abs=0.2)
    ballast = dropper_for(117, 68.9, 0.3)
    assert ballast is not None
    assert ballast.ohms == pytest.approx(160, rel=0.01)
    assert ballast.watts == pytest.approx(14.4, rel=0.01)


@pytest.mark.handbook
def test_hundred_and_fifty_milliamp_string_on_120_volts() -> None:
    """L. Lovell, Antique Radio Repair (1989): 12SA7, 12SK7, 12SQ7, 35Z5GT, 35L6GT; 107.8 V, 81.3 ohm, 1.83 W."""
    dropper = dropper_for(120, 107.8, 0.15)
    assert dropper is not None
    assert dropper.ohms == pytest.approx(81.3, abs=0.05)
    assert dropper.watts == pytest.approx(1.83, abs=0.005)
    assert dropper.watts == pytest.approx((120 - 107.8) ** 2 / dropper.ohms)


def test_string_that_asks_for_more_than_the_line_needs_no_dropper() -> None:
    assert left_for_dropper(117, 122.8) == pytest.approx(-5.8)
    assert dropper_for(117, 122.8, 0.15) is None
    assert dropper_for(122.8, 122.8, 0.15) is None
    assert series_capacitor_for(117, 122.8, 0.15, 60) is None


@pytest.mark.handbook
def test_four_microfarads_at_50_hertz_is_about_800_ohms() -> None:
    """radiotrician.org, capacitors in series heater chains: 4 uF at 50 Hz is about 800 ohm. Here read backwards."""
    volts = math.hypot(60, 0.3 * 795.77)
    capacitor = series_capacitor_for(volts, 60, 0.3, 50)
    assert capacitor is not None
    assert capacitor.farads == pytest.approx(4e-6, rel=1e-4)
    assert capacitor.reactance_ohms == pytest.approx(800, rel=0.01)


@pytest.mark.parametrize(("line", "hertz"), [(240.0, 50.0), (120.0, 60.0)])
def test_series_capacitor_leaves_the_string_its_rating(line: float, hertz: float) -> None:
    """ngspice 39: the string as a resistance at its rating behind the computed capacitor."""
    capacitor = series_capacitor_for(line, 100, 0.15, hertz)
    assert capacitor is not None
    lines = [f"Vline n0 0 DC 0 AC {line}", f"Cs n0 n1 {capacitor.farads!r}", f"Rs n1 0 {100 / 0.15!r}"]
    theirs = ngspice.alternating(lines, hertz, ["v(n1)", "i(vline)"])
    assert abs(theirs["v(n1)"]) == pytest.approx(100, rel=1e-9)
    assert abs(theirs["i(vline)"]) == pytest.approx(0.15, rel=1e-9)
    assert abs(line - theirs["v(n1)"]) == pytest.approx(capacitor.volts, rel=1e-9)


def test_half_wave_heat_and_meters_agree_with_ngspice() -> None:
    """Ideal diode (N = 0.01) into 1000 ohm on 230 V, ten cycles; the mean times 1.1107 is an AC meter's reading."""
    ours = behind_half_wave_diode(230)
    lines = [f"Vline n0 0 SIN(0 {230 * math.sqrt(2)!r} 50)", "D1 n0 n1 ideal", "Rs n1 0 1000"]
    lines.append(".model ideal D(N=0.01)")
    found = ngspice.measured(
        lines, "20u 0.4 0 20u", {"heat": "RMS v(n1) FROM=0.2 TO=0.4", "mean": "AVG v(n1) FROM=0.2 TO=0.4"}
    )
    assert ours.rms_volts == pytest.approx(found["heat"], rel=1e-3)
    assert ours.dc_meter_volts == pytest.approx(found["mean"], rel=1e-3)
    assert ours.ac_meter_volts == pytest.approx(found["mean"] * math.pi / (2 * math.sqrt(2)), rel=1e-3)


@pytest.mark.handbook
def test_half_sine_has_half_the_peak_as_rms() -> None:
    """D. Papanek, R-390 mailing list, December 2002: the RMS value of a half sine wave is 0.5 of its peak."""
    assert behind_half_wave_diode(120).rms_volts == pytest.approx(0.5 * 120 * math.sqrt(2))


def test_rating_is_at_least_twice_the_heat() -> None:
    """Twice and vented: common practice, no source."""
    assert [rating_for(w) for w in (0.1, 1.83, 2.5, 12.34, 14.4)] == [0.25, 5, 5, 25, 30]
    assert rating_for(12.34, 1) == 15
    assert rating_for(80) == 160


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: dropper_for(117, 69, 0),
        lambda: series_capacitor_for(240, 100, 0.1, 0),
    ],
)
def test_what_cannot_be_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match="above zero"):
        wrong()


@settings(derandomize=True)
@given(st.floats(105, 260), st.lists(st.sampled_from([6.3, 12.6, 14.0, 25.0]), min_size=1, max_size=4))
def test_computed_dropper_makes_the_string_run_at_its_rating(line: float, volts: list[float]) -> None:
    string = [HeaterElement(v, 0.15) for v in volts]
    dropper = dropper_for(line, math.fsum(volts), 0.15)
    assert dropper is not None
    running = running_string(string, line, dropper.ohms)
    assert running.heater_volts == pytest.approx(volts, rel=1e-9)
    assert running.dropper_watts == pytest.approx(dropper.watts, rel=1e-9)


@pytest.mark.handbook
def test_line_cord_of_four_300_milliamp_tubes() -> None:
    """capeoldradio.com, resistors in AC/DC radios: 6A7, 6F7, 43, 25Z5 are 62.6 V; 54.4 V left of 117; 181 ohm, 16 W."""
    dropper = dropper_for(117, 62.6, 0.3)
    assert left_for_dropper(117, 62.6) == pytest.approx(54.4)
    assert dropper is not None
    assert dropper.ohms == pytest.approx(181, abs=0.5)
    assert dropper.watts == pytest.approx(16, abs=0.4)


@pytest.mark.handbook
def test_reactance_of_400_ohms_at_50_hertz() -> None:
    """cool386.com, capacitive droppers: 400 ohm at 50 c/s are 7.96 uF."""
    capacitor = series_capacitor_for(math.hypot(40, 40), 40, 0.1, 50)
    assert capacitor is not None
    assert capacitor.reactance_ohms == pytest.approx(400)
    assert capacitor.farads == pytest.approx(7.96e-6, rel=1e-3)


@pytest.mark.handbook
def test_one_twelve_volt_tube_behind_four_microfarads() -> None:
    """radiotrician.org, capacitive divider: 4 uF on 240 V 50 Hz and a 12 V tube of 40 ohm: about 300 mA."""
    running = running_string([HeaterElement(12, 0.3)], 240, capacitor_farads=4e-6, frequency_hz=50)
    assert running.current_amps == pytest.approx(0.3, rel=0.01)
    assert running.heater_volts[0] == pytest.approx(12, rel=0.02)


@pytest.mark.handbook
def test_diode_takes_34_volts_of_117() -> None:
    """J. T. Bailey, Electronics World, May 1971: a diode in a 150 mA string accounts for 34 V."""
    assert 117 - behind_half_wave_diode(117).rms_volts == pytest.approx(34, abs=0.5)
