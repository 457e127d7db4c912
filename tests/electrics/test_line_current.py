"""A set's line current as one wave: against ngspice, by hand, and what must hold of any set."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.heaters import pilot_lamp
from benchleaf.electrics.line_current import carried, emission_share, line_amps, line_watts, reflected, volts_left
from benchleaf.electrics.rectifier import Filter, FilterTap, Rectifier, Supply, root_mean_square
from benchleaf.electrics.steady_state import solve

SQRT2 = math.sqrt(2)
TUBE = Rectifier.tube(18.0, 0.2)
WAVES = st.lists(st.floats(0.0, 2.0), min_size=12, max_size=12)
RMS = st.floats(0.0, 2.0)


def _spice(lines: list[str], hertz: float) -> tuple[float, float]:
    """RMS amperes and mean watts of the source ``Vline``, over the last ten periods of sixty."""
    step, last = 1 / hertz / 1000, f"from={50 / hertz} to={60 / hertz}"
    found = ngspice.measured(
        [*lines, "Bpower power 0 V = -V(line)*I(Vline)"],
        f"{step} {60 / hertz} {50 / hertz} {step} uic",
        {"amps": f"RMS i(Vline) {last}", "watts": f"AVG v(power) {last}"},
    )
    return found["amps"], found["watts"]


def test_a_series_set_as_ngspice_has_it() -> None:
    """Oracle: ngspice, a heater string of 780 ohm and a half-wave tube with its reservoir on one line."""
    state = solve(Supply("half-wave", 117 * SQRT2, 60, 30, TUBE), Filter((FilterTap(40e-6, load_amps=0.065),)))
    amps, watts = _spice(
        [
            f"Vline line 0 SIN(0 {117 * SQRT2!r} 60)",
            "Rstring line 0 780",
            "Rseries line plate 30",
            f"Btube plate rail I = {TUBE.perveance!r}*pwr(max(V(plate,rail),0),1.5)",
            "Creservoir rail 0 40u ic=120",
            "Iload rail 0 0.065",
        ],
        60,
    )
    assert line_amps(state.amps, 117 / 780) == pytest.approx(amps, rel=5e-3)
    assert line_watts(state.amps, 117 / 780, 117) == pytest.approx(watts, rel=5e-3)


def test_a_transformer_set_as_ngspice_has_it() -> None:
    """Oracle: ngspice, an ideal transformer of two secondaries as controlled sources, with a magnetising choke."""
    ratio, lagging = 325 / 120, 0.1
    state = solve(
        Supply("full-wave", 325 * SQRT2, 60, 150, Rectifier.tube(50, 0.125)),
        Filter((FilterTap(22e-6, load_amps=0.08),)),
    )
    henries = 120 / lagging / (2 * math.pi * 60)
    tube = Rectifier.tube(50, 0.125).perveance
    amps, watts = _spice(
        [
            f"Vline line 0 SIN(0 {120 * SQRT2!r} 60)",
            "Rheaters line 0 600",
            f"Lmagnetising line choke {henries!r} ic={-lagging * SQRT2!r}",
            "Rmagnetising choke 0 1m",
            f"Eone one middle line 0 {ratio!r}",
            f"Etwo middle two line 0 {ratio!r}",
            "Vmiddle middle 0 0",
            f"Fone line 0 Eone {-ratio!r}",
            f"Ftwo line 0 Etwo {-ratio!r}",
            "Rone one a 150",
            "Rtwo two b 150",
            f"Bone a rail I = {tube!r}*pwr(max(V(a,rail),0),1.5)",
            f"Btwo b rail I = {tube!r}*pwr(max(V(b,rail),0),1.5)",
            "Creservoir rail 0 22u ic=350",
            "Iload rail 0 0.08",
        ],
        60,
    )
    pulses = reflected(state.amps, ratio)
    assert line_amps(pulses, 120 / 600, lagging) == pytest.approx(amps, rel=1e-2)
    assert line_watts(pulses, 120 / 600, 120) == pytest.approx(watts, rel=1e-2)


def test_no_direct_current_passes_a_transformer() -> None:
    assert math.fsum(reflected((0.0, 0.3, 0.0, 0.0), 2.0)) == pytest.approx(0.0)
    assert reflected((0.1, -0.1), 3.0) == (pytest.approx(0.3), pytest.approx(-0.3))


@given(st.floats(0.01, 1.0), st.floats(0.0, math.pi / 2), RMS)
@settings(max_examples=50)
def test_the_wave_is_more_than_either_and_less_than_both(crest: float, width: float, string: float) -> None:
    """Pulses at the crest are in phase with the string: RMS of the sum between the greater and the plain sum."""
    angles = [2 * math.pi * i / 360 for i in range(360)]
    pulses = [crest if abs(angle - math.pi / 2) <= width else 0.0 for angle in angles]
    whole, alone = line_amps(pulses, string), root_mean_square(pulses)
    assert max(string, alone) - 1e-9 <= whole <= string + alone + 1e-9


@given(WAVES, RMS, RMS)
@settings(max_examples=50)
def test_what_lags_takes_no_watts(pulses: list[float], in_phase: float, lagging: float) -> None:
    """Apparent power is never below the watts; a sine alone gives RMS by Pythagoras."""
    assert line_watts(pulses, in_phase, 120) <= 120 * line_amps(pulses, in_phase) + 1e-9
    assert line_amps([0.0] * 12, in_phase, lagging) == pytest.approx(math.hypot(in_phase, lagging), abs=1e-9)


def test_more_line_never_means_less_current() -> None:
    rectifier = Filter((FilterTap(40e-6, load_amps=0.06),))
    amps = [line_amps(solve(Supply("half-wave", v * SQRT2, 60, 30, TUBE), rectifier).amps, v / 780) for v in (90, 117)]
    assert amps[0] < amps[1]


def test_emission_falls_with_the_heater_and_never_rises_over_what_is_asked() -> None:
    """By hand, φ/kT = 1.2 / (8.617e-5 × 1050) = 13.26; at half the volts T falls to 0.758: 0.574 e^(-4.24) = 0.0083."""
    assert emission_share(1.0) == pytest.approx(1.0)
    assert emission_share(0.5) == pytest.approx(0.0083, rel=0.03)
    assert emission_share(0.0) == 0.0
    assert carried(1.1, 5) == 1.0
    assert carried(0.35, 50) < 0.03


def test_a_lamp_and_a_resistor_share_the_line() -> None:
    """By hand: 240 ohm at 60 V draw 0.25 A; a lamp of 60 V 0.25 A takes the other half of 120 V."""
    assert volts_left(pilot_lamp(60, 0.25), lambda volts: volts / 240, 120) == pytest.approx(60)


@given(st.floats(15, 300), st.floats(50, 2000))
@settings(max_examples=30)
def test_lamp_and_set_add_up_to_the_line(watts: float, ohms: float) -> None:
    lamp = pilot_lamp(120, watts / 120)
    left = volts_left(lamp, lambda volts: volts / ohms, 120)
    assert left + lamp.volts_at(left / ohms) == pytest.approx(120)
    assert left < volts_left(lamp, lambda volts: volts / (2 * ohms), 120)
