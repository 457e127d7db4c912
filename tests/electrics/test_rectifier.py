"""Rectifier and filter in the time domain: against ngspice, and against the formulas printed in textbooks."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.line_current import line_amps
from benchleaf.electrics.rectifier import (
    Filter,
    FilterTap,
    NoSteadyStateError,
    Rectifier,
    Supply,
    ripple_by_thumb,
    root_mean_square,
)
from benchleaf.electrics.steady_state import solve

SQRT2 = math.sqrt(2)
TUBE = Rectifier.tube(18.0, 0.2)
TWIN = Rectifier.tube(50.0, 0.125)
PI_FILTER = (FilterTap(47e-6, 0.5, 0.035), FilterTap(22e-6, 0.5, 0.028, 1000.0))
CHOKE = (FilterTap(16e-6, 2.0), FilterTap(16e-6, 2.0, 0.08, 300.0, 10.0))


def _diode(a: str, b: str, name: str, rectifier: Rectifier) -> str:
    if rectifier.perveance is None:
        return f"B{name} {a} {b} I = max(V({a},{b})-{rectifier.drop_volts!r},0)/1m"
    return f"B{name} {a} {b} I = {rectifier.perveance!r}*pwr(max(V({a},{b}),0),1.5)"


def _source(supply: Supply) -> list[str]:
    peak, hertz, ohms, tube = supply.peak_volts, supply.hertz, supply.ohms, supply.rectifier
    sine = f"SIN(0 {peak!r} {hertz!r})"
    if supply.kind == "half-wave":
        return [f"Vs s {_foot(supply)} {sine}", f"Rs s p {ohms!r}", _diode("p", "n0", "1", tube), *_return(supply)]
    if supply.kind == "full-wave":
        return [
            *_return(supply),
            f"Vs s {_foot(supply)} {sine}",
            f"Vt t {_foot(supply)} SIN(0 {-peak!r} {hertz!r})",
            f"Rs s p {ohms!r}",
            f"Rt t q {ohms!r}",
            _diode("p", "n0", "1", tube),
            _diode("q", "n0", "2", tube),
        ]
    return [f"Rs s p {ohms!r}", _diode("p", "n0", "1", tube), _diode("0", "p", "2", tube)]


def _foot(supply: Supply) -> str:
    """The node of the winding's centre tap: the chassis, or below it behind what makes the bias."""
    return "foot" if supply.return_ohms else "0"


def _return(supply: Supply) -> list[str]:
    if not supply.return_ohms:
        return []
    back = [f"Rback 0 foot {supply.return_ohms!r}"]
    return [*back, f"Cback 0 foot {supply.return_farads!r} IC=20"] if supply.return_farads else back


def _oracle(supply: Supply, circuit: Filter, periods: int) -> dict[str, float]:
    lines = _source(supply)
    peak, hertz, taps = supply.peak_volts, supply.hertz, circuit.taps
    sine = f"SIN(0 {peak!r} {hertz!r})"
    if supply.kind == "doubler":
        lines += [f"Vs s mid {sine}"]
        lines += [
            f"C{n} {a} {b} {taps[0].farads!r} IC={0.9 * peak}" for n, a, b in (("x", "n0", "mid"), ("y", "mid", "0"))
        ]
    if supply.kind == "cascade doubler":
        lines = [
            f"Vs z 0 {sine}",
            f"Rs z y {supply.ohms!r}",
            f"Cin p y {circuit.input_farads!r} IC={0.9 * peak}",
            *lines[1:],
        ]
    for i, tap in enumerate(taps):
        if not (supply.kind == "doubler" and i == 0):
            start = 0.85 * peak * (2 if "doubler" in supply.kind else 1)
            lines += [f"C{i} n{i} e{i} {tap.farads!r} IC={start}", f"Re{i} e{i} 0 {tap.esr_ohms or 1e-5!r}"]
        lines += [f"I{i} n{i} 0 DC {tap.load_amps!r}"] if tap.load_amps else []
        if i and tap.series_henries:
            lines += [f"L{i} n{i - 1} m{i} {tap.series_henries!r}", f"Rl{i} m{i} n{i} {tap.series_ohms!r}"]
        elif i:
            lines += [f"Rl{i} n{i - 1} n{i} {tap.series_ohms!r}"]
    last = f"from={(periods - 1) / hertz} to={periods / hertz}"
    wanted = {f"mean{i}": f"AVG v(n{i}) {last}" for i in range(len(taps))}
    wanted |= {f"ripple{i}": f"PP v(n{i}) {last}" for i in range(len(taps))}
    step = 1 / hertz / 2000
    return ngspice.measured(lines, f"{step} {periods / hertz} {(periods - 2) / hertz} {step} uic", wanted)


WOUND = Supply("full-wave", 351.5 * SQRT2, 60, 150, Rectifier.tube(20, 0.125))
FIELD = (FilterTap(22e-6), FilterTap(22e-6, 0.0, 0.113, 815.0))
"""A console's supply of 1938 with the field as its choke."""

CASES = {
    "half-wave tube": (Supply("half-wave", 117 * SQRT2, 60, 25, TUBE), Filter(PI_FILTER), 60),
    "half-wave silicon": (Supply("half-wave", 117 * SQRT2, 60, 30, Rectifier(None, 1.0)), Filter(PI_FILTER), 60),
    "full-wave tube": (
        Supply("full-wave", 350 * SQRT2, 60, 150, TWIN),
        Filter((CHOKE[0], FilterTap(16e-6, 2, 0.08, 1000))),
        60,
    ),
    "back bias": (replace(WOUND, return_ohms=190.0), Filter(FIELD), 60),
    "back bias, bypassed": (replace(WOUND, return_ohms=190.0, return_farads=10e-6), Filter(FIELD), 60),
    "half-wave, back bias": (
        Supply("half-wave", 250 * SQRT2, 50, 200, TUBE, return_ohms=400.0, return_farads=25e-6),
        Filter((FilterTap(32e-6, 1.0, 0.045),)),
        60,
    ),
    "full-wave with choke": (Supply("full-wave", 350 * SQRT2, 60, 150, TWIN), Filter(CHOKE), 120),
    "cascade doubler": (
        Supply("cascade doubler", 117 * SQRT2, 60, 25, TUBE),
        Filter((FilterTap(40e-6, 2, 0.02), FilterTap(40e-6, 2, 0.05, 500)), 40e-6),
        120,
    ),
    "doubler": (
        Supply("doubler", 117 * SQRT2, 60, 25, TUBE),
        Filter((FilterTap(40e-6), FilterTap(40e-6, 2, 0.07, 500))),
        60,
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_mean_and_ripple_as_ngspice_has_them(name: str) -> None:
    """Oracle: ngspice, transient analysis of the same circuit until it repeats."""
    supply, circuit, periods = CASES[name]
    found, oracle = solve(supply, circuit), _oracle(supply, circuit, periods)
    for i in range(len(circuit.taps)):
        assert found.mean_volts[i] == pytest.approx(oracle[f"mean{i}"], rel=1e-3)
        assert found.ripple_volts[i] == pytest.approx(oracle[f"ripple{i}"], rel=1e-2)


@pytest.mark.regression
def test_cascade_doubler_makes_nearly_twice_the_peak() -> None:
    """Its two capacitors add: under a light load twice the peak less the drops; each path carries the whole current."""
    found = solve(
        Supply("cascade doubler", 165.0, 60, 10, Rectifier(None, 1.0)), Filter((FilterTap(40e-6, 0.0, 0.001),), 40e-6)
    )
    assert found.mean_volts[0] == pytest.approx(2 * (165 - 1), rel=0.01)
    assert found.mean_amps == pytest.approx(0.001, rel=0.02)


def test_vibrator_fills_all_but_the_gaps() -> None:
    """A square wave leaves the capacitor alone only while the contacts travel: ripple is about I·gap/C."""
    square = Supply("full-wave", 250.0, 115, 150, Rectifier(None, 1.0), square_duty=0.85)
    found = solve(square, Filter((FilterTap(8e-6, 0.0, 0.05),)))
    gap = 0.15 / 115 / 2
    assert found.ripple_volts[0] == pytest.approx(0.05 * gap / 8e-6, rel=0.4)
    sine = solve(Supply("full-wave", 250.0, 115, 150, Rectifier(None, 1.0)), Filter((FilterTap(8e-6, 0.0, 0.05),)))
    assert found.ripple_volts[0] < sine.ripple_volts[0] / 2


@pytest.mark.handbook
def test_rule_of_thumb_as_textbooks_print_it() -> None:
    """FOSSEE Scilab companion, book 2882, Ex. 3.6: full-wave, 1 kohm, 50 Hz, 4 % peak to peak asks for 250 µF."""
    volts, ohms = 100.0, 1000.0
    assert ripple_by_thumb(volts / ohms, 2 * 50, 250e-6) == pytest.approx(0.04 * volts)


@pytest.mark.handbook
def test_discharge_of_a_reservoir() -> None:
    """GATE ECE 2016 paper 2, question 39: 475 µF, 1 A for 1 ms falls 2.0 to 2.1 V."""
    assert ripple_by_thumb(1.0, 1000.0, 475e-6) == pytest.approx(2.105, abs=0.01)


@pytest.mark.handbook
@pytest.mark.parametrize(("kind", "sides"), [("half-wave", (1,)), ("full-wave", (1, -1))])
def test_while_it_charges_source_resistance_and_reservoir_make_up_the_sources_volts(
    kind: str, sides: tuple[int, ...]
) -> None:
    """Kirchhoff's law around the loop, with a capacitor whose own resistance counts: v = V sin wt - R i."""
    supply = Supply(kind, 160.0, 60.0, 40.0, Rectifier(drop_volts=1.0))
    found = solve(supply, Filter((FilterTap(47e-6, 8.0, 0.08),)))
    charging = [(supply.volts(t), i, v) for t, i, v in zip(found.seconds, found.amps, found.volts[0], strict=True) if i]
    assert {math.copysign(1, source) for source, _, _ in charging} == set(sides)
    for source, amps, volts in charging:
        assert abs(source) == pytest.approx(1.0 + 40.0 * abs(amps) + volts, abs=1e-6)


def test_mean_volts_of_an_ideal_full_wave_supply() -> None:
    """FOSSEE 2498, Ex. 2.21: 30 V across 1 kohm from 290 µF at 50 Hz needs a peak of 30.517 V: Vm = V(1 + 1/(4fRC)).

    The formula takes the discharge as lasting half a period; the solved circuit discharges for less, so that a little
    less peak would do.
    """
    found = solve(Supply("full-wave", 30.517, 50, 0.5, Rectifier()), Filter((FilterTap(290e-6, 0.0, 0.030),)))
    assert found.mean_volts[0] == pytest.approx(30.0, abs=0.2)
    assert found.ripple_volts[0] < ripple_by_thumb(0.030, 100, 290e-6)


def test_rule_of_thumb_is_too_high_behind_a_tube() -> None:
    supply, circuit, _ = CASES["half-wave tube"]
    total = sum(t.load_amps for t in circuit.taps)
    assert 1.1 < ripple_by_thumb(total, 60, 47e-6) / solve(supply, circuit).ripple_volts[0] < 1.5


def test_larger_reservoir_higher_peak() -> None:
    small, large = (
        solve(Supply("half-wave", 165.0, 60, 15, TUBE), Filter((FilterTap(c, 0.0, 0.06),))) for c in (20e-6, 100e-6)
    )
    assert large.peak_amps > small.peak_amps
    assert large.rms_amps > small.rms_amps
    assert large.mean_volts[0] > small.mean_volts[0]


def test_silicon_gives_more_volts_than_a_tube() -> None:
    circuit = Filter((FilterTap(47e-6, 0.0, 0.06),))
    tube, silicon = (
        solve(Supply("half-wave", 165.0, 60, 15, r), circuit).mean_volts[0] for r in (TUBE, Rectifier(None, 1.0))
    )
    assert 10 < silicon - tube < 35


def test_string_and_pulses_add_as_waveforms_not_as_figures() -> None:
    """0.146 A of string and 0.120 A RMS of pulses make 0.24 A (computed here with another solver first)."""
    circuit = Filter((FilterTap(40e-6, 9.0, 0.048),))
    pulses = solve(Supply("half-wave", 117 * SQRT2, 60, 25, TUBE), circuit).amps
    assert root_mean_square(pulses) == pytest.approx(0.120, rel=0.1)
    both = line_amps(pulses, 0.146)
    assert both == pytest.approx(0.24, abs=0.01)
    assert math.hypot(root_mean_square(pulses), 0.146) < both < root_mean_square(pulses) + 0.146


@settings(deadline=None, max_examples=20)
@given(
    st.sampled_from(["half-wave", "full-wave", "doubler"]),
    st.floats(50, 500),
    st.floats(8e-6, 200e-6),
    st.floats(1e-3, 0.15),
    st.floats(5, 300),
)
def test_charge_in_is_charge_out(kind: str, peak: float, farads: float, amps: float, ohms: float) -> None:
    """In the steady state the mean current of the rectifier is the load; volts stay below what the peaks can give.

    What it does not deliver into a short is not delivered at any volts, and is told.
    """
    supply, circuit = Supply(kind, peak, 60, ohms, TUBE), Filter((FilterTap(farads, 0.0, amps),))
    try:
        found = solve(supply, circuit)
    except NoSteadyStateError:
        assert amps / (2 * math.pi * 60 * farads) + amps * ohms > 0.01 * peak
        return
    paths = 2 if kind == "full-wave" else 1
    assert found.mean_amps * paths == pytest.approx(amps, rel=0.06)
    assert 0 <= found.mean_volts[0] < peak * (2 if kind == "doubler" else 1)
    assert math.isfinite(found.peak_amps)


LIGHT = Supply("full-wave", 351.5 * SQRT2 * 105 / 117, 60, 150, Rectifier.tube(20, 0.125))


@pytest.mark.parametrize("near", [None, (472.0,), (1e14,), (-50.0,), (math.inf,)])
def test_where_it_begins_changes_nothing(near: tuple[float, ...] | None) -> None:
    """Nothing charges a reservoir that begins above the peak, and a period then says nothing of where to go."""
    circuit = Filter((FilterTap(22e-6, load_amps=0.0082),))
    found, oracle = solve(LIGHT, circuit, near), _oracle(LIGHT, circuit, 60)
    assert found.mean_volts[0] == pytest.approx(oracle["mean0"], rel=1e-3)
    assert found.ripple_volts[0] == pytest.approx(oracle["ripple0"], rel=1e-2)


@pytest.mark.parametrize("kind", ["half-wave", "full-wave", "doubler", "cascade doubler"])
def test_more_than_it_can_deliver_is_told_and_has_no_figure(kind: str) -> None:
    """165 V through 300 ohm give less than 0.55 A at any moment; nothing is left of 0.6 A of load."""
    supply = Supply(kind, 165.0, 60, 300, Rectifier(None, 1.0))
    with pytest.raises(NoSteadyStateError, match="more current is drawn"):
        solve(supply, Filter((FilterTap(40e-6, 0.0, 0.6),), 40e-6))


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (lambda: Supply("third-wave", 1, 1, 1), "no rectifier"),
        (lambda: Supply("half-wave", 0, 60, 1), "volts"),
        (lambda: Supply("half-wave", 1, 60, 1, square_duty=0), "duty"),
        (lambda: Rectifier.tube(0, 1), "drop"),
        (lambda: solve(Supply("half-wave", 1, 60, 1), Filter(())), "capacitors"),
        (lambda: solve(Supply("half-wave", 1, 60, 1), Filter((FilterTap(1e-6), FilterTap(1e-6)))), "lead"),
        (lambda: solve(Supply("half-wave", 1, 60, 0), Filter((FilterTap(1e-6),))), "too short"),
        (lambda: solve(Supply("half-wave", 1, 60, 1), Filter((FilterTap(0.0),))), "above zero"),
        (lambda: solve(Supply("cascade doubler", 1, 60, 1), Filter((FilterTap(1e-6),))), "series capacitor"),
    ],
)
def test_what_is_no_supply_is_refused(wrong: object, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        wrong()  # type: ignore[operator]


def test_nothing_lies_in_a_return_of_which_nothing_is_written() -> None:
    bare = Supply("half-wave", 170.0, 60.0, 10.0)
    assert replace(bare, return_ohms=0.0, return_farads=0.0) == bare
    assert (replace(bare, return_ohms=100.0).return_farads, bare.square_duty) == (0.0, None)
