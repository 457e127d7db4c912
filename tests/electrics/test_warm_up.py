"""From cold to hot: the first instant, the end, and the way between, against ngspice."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import ngspice
from benchleaf.electrics.heaters import HeaterElement, inrush_amps, running_string
from benchleaf.electrics.warm_up import NtcResistor, Warming, first_share, warm_up

FIVE = [HeaterElement(v, 0.15) for v in (35, 50, 12.6, 12.6, 12.6)]
NTC = NtcResistor(5500, 40, 0.3)


def test_string_begins_at_its_inrush_and_ends_where_the_law_has_it() -> None:
    found = warm_up([Warming(h) for h in FIVE], 117, 20)
    assert found.amps[0] == pytest.approx(inrush_amps(FIVE, 117, 20))
    assert found.amps[-1] == pytest.approx(running_string(FIVE, 117, 20).current_amps, rel=1e-4)
    assert found.peak_amps == found.amps[0]
    assert all(a >= b - 1e-6 for a, b in itertools.pairwise(found.amps))
    assert math.fsum(v[0] for v in found.volts) + 20 * found.amps[0] == pytest.approx(117)


def test_warm_up_test_of_a_controlled_heater_takes_its_time() -> None:
    """Four times the volts through three times the hot resistance: 80 % of its volts after 11 s (from memory)."""
    found = warm_up([Warming(HeaterElement(6.3, 0.6))], 4 * 6.3, 3 * 10.5, seconds=22, points=401)
    at = next(t for t, v in zip(found.seconds, found.volts[0], strict=True) if v >= 0.8 * 6.3)
    assert at == pytest.approx(11, abs=0.15)


@pytest.mark.handbook
def test_thermistor_has_its_published_resistances() -> None:
    """r-type.org, Thermistors and Heater Chains: 5500 ohm at room temperature, about 40 ohm at 250 degrees."""
    assert NTC.ohms_at(273.15 + 25) == pytest.approx(5500)
    assert NTC.ohms_at(273.15 + 250) == pytest.approx(40)
    assert NTC.heating(273.15 + 250, 0.3) == pytest.approx(0, abs=1e-9)


@pytest.mark.handbook
def test_thermistor_falls_by_about_a_hundred() -> None:
    """J. J. Gano and G. F. Sandy, IRE Transactions EC-7 (1958), p. 61: thermistors fall by a factor of about 100, and
    heaters rise by 5 to 10; 5500/40 = 138 and the 7.2 taken here are of that order."""
    assert 50 < NTC.cold_ohms / NTC.hot_ohms < 200
    assert 5 < Warming(FIVE[0]).cold_ratio < 10


def test_thermistor_keeps_the_current_down() -> None:
    heaters = [Warming(HeaterElement(v, 0.3)) for v in (25, 25, 6.3, 6.3, 6.3)]
    plain = warm_up(heaters, 117, 120, seconds=300)
    slowed = warm_up(heaters, 117, 120, NTC, seconds=300)
    assert slowed.amps[0] < 0.03 < 0.3 < plain.amps[0]
    assert slowed.peak_amps < plain.peak_amps
    settled = running_string([h.heater for h in heaters], 117, 160).current_amps
    assert slowed.amps[-1] == pytest.approx(settled, rel=0.02)


@pytest.mark.parametrize("ntc", [False, True])
def test_warm_up_agrees_with_ngspice(ntc: bool) -> None:
    """Each heater's resistance ratio as the volts of a capacitor, fed by what heats it and what it gives off."""
    heaters = [Warming(HeaterElement(50, 0.3)), Warming(HeaterElement(18.9, 0.3), 2.7, 5)]
    lines, total = [], "120"
    for k, h in enumerate(heaters):
        current = f"v(i)/{h.heater.amps}"
        lines += [f"C{k} r{k} 0 {h.heat_capacity()!r} IC={1 / h.cold_ratio!r}"]
        lines += [f"B{k} 0 r{k} I=({current})*({current})*v(r{k})-pow(abs(v(r{k})),{h.loss_exponent!r})"]
        total += f"+{h.hot_ohms!r}*v(r{k})"
    if ntc:
        beta = math.log(5500 / 40) / (1 / 298.15 - 1 / 523.15)
        loss = 0.09 * 40 / 225
        resistance = f"5500*exp({beta!r}*(1/v(t)-1/298.15))"
        total += f"+{resistance}"
        lines += [f"Ct t 0 {loss * 40!r} IC=298.15", f"Bt 0 t I=v(i)*v(i)*{resistance}-{loss!r}*(v(t)-298.15)"]
    lines += [f"Bi i 0 V=117/({total})", "Ri i 0 1"]
    wanted = {f"a{t}": f"FIND v(i) AT={t}" for t in (1, 5, 10, 30)}
    theirs = ngspice.measured(lines, "5m 40 0 5m uic", wanted)
    found = warm_up(heaters, 117, 120, NTC if ntc else None, seconds=40, points=4001)
    for t in (1, 5, 10, 30):
        ours = min(zip(found.seconds, found.amps, strict=True), key=lambda at: abs(at[0] - t))[1]
        assert ours == pytest.approx(theirs[f"a{t}"], rel=5e-3)


def test_shunted_lamp_flashes_less() -> None:
    heaters = [Warming(HeaterElement(68.9, 0.3))]
    lamp = Warming(HeaterElement(6.3, 0.25, 0.55), 10, 0.15)
    shunted = Warming(lamp.heater, 10, 0.15, shunt_ohms=39)
    free, calmed = (max(warm_up([*heaters, bulb], 120, 155).volts[1]) for bulb in (lamp, shunted))
    assert calmed < free
    settled = warm_up([*heaters, shunted], 120, 155).volts[1][-1]
    assert calmed > 1.5 * settled


def test_worst_share_of_a_small_heater_among_slow_ones() -> None:
    """12.6 V: 31.1 ohm cold at 2.7; the others 734.7 ohm hot at 7.2: 102 ohm; 117 * 31.1/133.2 = 27.3 V."""
    assert first_share(FIVE, 2, 117) == pytest.approx(27.33 / 12.6, rel=2e-3)
    assert first_share(FIVE, 2, 117, 500) < 1


def test_nothing_to_warm_is_refused() -> None:
    with pytest.raises(ValueError, match="heater"):
        warm_up([], 117)
    with pytest.raises(ValueError, match="lower hot"):
        NtcResistor(40, 5500, 0.3)


@settings(max_examples=15, derandomize=True)
@given(st.floats(60, 240), st.floats(0, 800), st.floats(2.7, 10))
def test_volts_add_up_at_every_moment(line: float, ohms: float, ratio: float) -> None:
    found = warm_up([Warming(h, ratio) for h in FIVE], line, ohms, points=21)
    for k, amps in enumerate(found.amps):
        assert math.fsum(v[k] for v in found.volts) + ohms * amps == pytest.approx(line, rel=1e-9)
