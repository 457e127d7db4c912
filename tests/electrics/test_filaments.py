"""Battery filaments in series, and barretters."""

from __future__ import annotations

import itertools
import math

import pytest

import ngspice
from benchleaf.electrics.barretters import Barretter, behind_barretter
from benchleaf.electrics.filaments import Filament, Span, running_members, series_filaments
from benchleaf.electrics.heaters import HeaterElement

PORTABLE = [
    Filament(1.4, 0.05, 0.004),
    Filament(1.4, 0.05, 0.0024),
    Filament(1.4, 0.05, 0.0006),
    Filament(2.8, 0.05, 0.009),
]


def test_filament_nearest_a_plus_carries_the_supply_only() -> None:
    first, second, third, last = series_filaments(PORTABLE, 0.05)
    assert first.arriving_amps == 0.05
    assert first.shunt_ohms is None
    assert second.excess_amps == pytest.approx(0.004)
    assert third.excess_amps == pytest.approx(0.0064)
    assert last.excess_amps == pytest.approx(0.007)
    assert last.shunt_ohms == pytest.approx(2.8 / 0.007)


def test_shunts_leave_every_filament_its_rating_in_ngspice() -> None:
    """Filaments as resistors at their rating, cathode currents as sources to the B- side of each."""
    lines = ["Isupply 0 n0 0.05"]
    for k, (filament, current) in enumerate(zip(PORTABLE, series_filaments(PORTABLE, 0.05), strict=True)):
        low = "0" if k == len(PORTABLE) - 1 else f"n{k + 1}"
        lines.append(f"Rf{k} n{k} {low} {filament.volts / filament.amps!r}")
        lines.append(f"Icathode{k} 0 {low} {filament.cathode_amps!r}")
        if current.shunt_ohms is not None:
            lines.append(f"Rs{k} n{k} {low} {current.shunt_ohms!r}")
    theirs = ngspice.direct(lines, [f"v(n{k})" for k in range(4)])
    nodes = [*(theirs[f"v(n{k})"] for k in range(4)), 0.0]
    assert [a - b for a, b in itertools.pairwise(nodes)] == pytest.approx([1.4, 1.4, 1.4, 2.8], rel=1e-6)


def test_weak_supply_leaves_filaments_short() -> None:
    first = series_filaments(PORTABLE, 0.045)[0]
    assert first.excess_amps == pytest.approx(-0.005)
    assert first.shunt_ohms is None


def test_barretter_holds_the_string_over_its_range() -> None:
    """Four tubes of 68.9 V at 0.3 A behind a 0.3 A barretter of 40 to 80 V: from 109 to 148 V of line."""
    string = [HeaterElement(6.3, 0.3)] * 3 + [HeaterElement(25, 0.3)] * 2
    barretter = Barretter(0.3, 40, 80)
    for line, regulating in ((108, False), (110, True), (117, True), (148, True), (150, False)):
        run = behind_barretter(string, line, barretter)
        assert run.heater_volts == (6.3, 6.3, 6.3, 25, 25)
        assert run.barretter_volts == pytest.approx(line - 68.9)
        assert run.barretter_watts == pytest.approx(0.3 * (line - 68.9))
        assert run.regulating is regulating


def test_heater_of_another_rating_behind_a_barretter() -> None:
    run = behind_barretter([HeaterElement(6.3, 0.15)], 60, Barretter(0.3, 10, 80))
    assert run.heater_volts[0] == pytest.approx(6.3 * 2 ** (1 / 0.6))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Barretter(0, 40, 80),
        lambda: Barretter(0.3, 80, 40),
        lambda: Filament(1.4, 0),
        lambda: Span(0, 1, 100.0),
        lambda: Span(0, 2, 0.0),
        lambda: Filament(1.4, 0.05, math.nan),
    ],
)
def test_rating_that_cannot_be_is_refused(wrong: object) -> None:
    assert callable(wrong)
    with pytest.raises(ValueError, match="needs"):
        wrong()


@pytest.mark.parametrize("supply", [5.6, 7.5, 9.0])
def test_filaments_with_cathode_currents_and_shunts_agree_with_ngspice(supply: float) -> None:
    """Behavioural filaments, a dropper, two shunts, and a current source for each cathode."""
    shunts = (None, 180.0, None, 91.0)
    lines = [f"Vsupply a 0 {supply}", "Rd a n0 3"]
    for k, filament in enumerate(PORTABLE):
        low = "0" if k == len(PORTABLE) - 1 else f"n{k + 1}"
        law = f"{filament.volts!r}*sgn(i(VS{k}))*pow(abs(i(VS{k}))/{filament.amps!r},{1 / 0.6!r})"
        lines += [f"VS{k} n{k} m{k} 0", f"B{k} m{k} {low} V={law}", f"Icathode{k} 0 {low} {filament.cathode_amps!r}"]
        lines += [f"Rs{k} n{k} {low} {shunts[k]!r}"] if shunts[k] else []
    theirs = ngspice.direct(lines, [*(f"v(n{k})" for k in range(4)), *(f"i(vs{k})" for k in range(4)), "i(vsupply)"])
    amps, ours = running_members([(f,) for f in PORTABLE], shunts, supply, 3)
    nodes = [*(theirs[f"v(n{k})"] for k in range(4)), 0.0]
    assert amps == pytest.approx(-theirs["i(vsupply)"], rel=1e-6)
    for k, (high, low_) in enumerate(itertools.pairwise(nodes)):
        assert ours[k].volts == pytest.approx(high - low_, rel=1e-6)
        assert ours[k].filament_amps[0] == pytest.approx(theirs[f"i(vs{k})"], rel=1e-6)


@pytest.mark.parametrize("supply", [5.6, 7.5, 9.0])
def test_shunt_across_two_filaments_agrees_with_ngspice(supply: float) -> None:
    """One resistor over the last two of the string, whose first adds its cathode current inside it."""
    lines = [f"Vsupply a 0 {supply}", "Rd a n0 3", "Rover n2 0 300", "Rone n1 n2 180"]
    for k, filament in enumerate(PORTABLE):
        low = "0" if k == len(PORTABLE) - 1 else f"n{k + 1}"
        law = f"{filament.volts!r}*sgn(i(VS{k}))*pow(abs(i(VS{k}))/{filament.amps!r},{1 / 0.6!r})"
        lines += [f"VS{k} n{k} m{k} 0", f"B{k} m{k} {low} V={law}", f"Icathode{k} 0 {low} {filament.cathode_amps!r}"]
    theirs = ngspice.direct(lines, [*(f"v(n{k})" for k in range(4)), *(f"i(vs{k})" for k in range(4)), "i(vsupply)"])
    shunts = (None, 180.0, None, None)
    amps, ours = running_members([(f,) for f in PORTABLE], shunts, supply, 3, [Span(2, 2, 300.0)])
    nodes = [*(theirs[f"v(n{k})"] for k in range(4)), 0.0]
    assert amps == pytest.approx(-theirs["i(vsupply)"], rel=1e-6)
    for k, (high, low_) in enumerate(itertools.pairwise(nodes)):
        assert ours[k].volts == pytest.approx(high - low_, rel=1e-6)
        assert ours[k].filament_amps[0] == pytest.approx(theirs[f"i(vs{k})"], rel=1e-6)


@pytest.mark.handbook
def test_published_portable_with_filaments_in_series() -> None:
    """University of Queensland Physics Museum, portable valve receiver: 1R5, 1T4, 1S5, 3S4 in series, 7.5 V, 50 mA.

    Without plate currents 7.0 V of rated filaments on 7.5 V draw 50 mA within 5 %."""
    quiet = [(Filament(f.volts, f.amps),) for f in PORTABLE]
    amps, _ = running_members(quiet, (None,) * 4, 7.5)
    assert amps == pytest.approx(0.050, rel=0.05)
