"""Fuses: rules of rating as printed, and the inrush model against ngspice."""

from __future__ import annotations

from fractions import Fraction

import pytest

import ngspice
from benchleaf.electrics.fuses import RULES, breaking_amps, inrush, least_rating, rule_for
from benchleaf.electrics.heaters import HeaterElement
from benchleaf.electrics.warm_up import Warming, warm_up


@pytest.mark.handbook
def test_ul_fuse_carries_its_rating_and_opens_within_an_hour_at_135_percent() -> None:
    """Littelfuse fuse selection guide p. 12."""
    assert RULES["UL"].holds == 1.0
    assert RULES["UL"].opens == 1.35


@pytest.mark.handbook
def test_iec_fuse_holds_at_150_percent_and_opens_at_210() -> None:
    """emc-pstc list message 17696."""
    assert RULES["IEC"].holds == 1.5
    assert RULES["IEC"].opens == 2.1


def test_iec_ratings_are_the_preferred_numbers_of_ten_to_a_decade() -> None:
    """R10 of ISO 3, as IEC 60127-2 has it, from 100 mA to 10 A; of 8 A there is no sheet (from memory)."""
    r10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)
    wanted = [*(round(step / 10, 4) for step in r10), *r10[:-1], 10.0]
    assert list(RULES["IEC"].ratings) == wanted


def test_ul_ratings_are_fractions_of_an_ampere() -> None:
    """Eighths and sixteenths, as they were sold in inch sizes (from memory)."""
    parts = ["1/8", "3/16", "1/4", "3/8", "1/2", "3/4", "1", "5/4", "3/2", "2", "5/2", "3", "4", "5", "25/4", "8", "10"]
    assert [float(Fraction(part)) for part in parts] == list(RULES["UL"].ratings)


@pytest.mark.parametrize(
    ("volts", "hertz", "rule"),
    [(120, 60, "UL"), (127, 50, "IEC"), (127, 49.1, "IEC"), (127, 49.0, "UL"), (127, 50.9, "IEC"), (127, 51.0, "UL"),
     (200, 60, "UL"), (201, 60, "IEC"), (110, 0, "UL"), (220, 0, "IEC"), (110, 25, "UL")],
)  # fmt: skip
def test_fuses_are_rated_by_iec_on_50_hertz_and_above_200_volts(volts: float, hertz: float, rule: str) -> None:
    assert rule_for(volts, hertz).name == rule


@pytest.mark.handbook
@pytest.mark.parametrize(("rule", "share"), [("UL", 0.75), ("IEC", 1.0)])
def test_continuous_load_is_75_percent_of_a_ul_rating_and_all_of_an_iec_one(rule: str, share: float) -> None:
    """ibex.tech fuse page; EDN, 26 September 1996."""
    assert RULES[rule].loaded == share


@pytest.mark.regression
@pytest.mark.parametrize(
    ("amps", "rule", "rating"),
    [(0.24, "UL", 0.375), (0.24, "IEC", 0.25), (0.375, "UL", 0.5), (0.25, "IEC", 0.25), (50.0, "UL", None)],
)
def test_smallest_rating_for_a_running_current(amps: float, rule: str, rating: float | None) -> None:
    """By hand: 0.24 / 0.75 = 0.32 A, the next sold is 0.375 A; by the other rule 0.25 A carries 0.24 A."""
    assert least_rating(amps, RULES[rule]) == rating


def test_breaking_capacity_rises_with_the_rating_of_a_glass_fuse() -> None:
    """From memory: IEC 60127-2, 35 A or ten times the rating, and 1500 A of the high-breaking kind."""
    assert breaking_amps(0.5, high=False, rule=RULES["IEC"]) == 35.0
    assert breaking_amps(6.3, high=False, rule=RULES["IEC"]) == 63.0
    assert breaking_amps(0.5, high=True, rule=RULES["IEC"]) == 1500.0


@pytest.mark.parametrize(
    ("rating", "amps"), [(0.5, 35.0), (1.0, 35.0), (1.25, 100.0), (3.5, 100.0), (4.0, 200.0), (10.0, 200.0)]
)
def test_breaking_capacity_by_ul_goes_in_steps(rating: float, amps: float) -> None:
    """From memory: UL 248-14 at 250 V, 35 A up to 1 A, 100 A up to 3.5 A, 200 A up to 10 A; 10 kA at 125 V."""
    assert breaking_amps(rating, high=False, rule=RULES["UL"]) == amps
    assert breaking_amps(rating, high=True, rule=RULES["UL"]) == 10e3


@pytest.mark.regression
def test_inrush_of_a_current_that_falls_along_a_line() -> None:
    """By hand: 3 A falling to 1 A in 2 s. The integral of i² is 2 (9 + 3 + 1)/3 = 26/3, less 2 A²s: 20/3.

    More than 2 A flows for the first second.
    """
    times = [0.002 * k for k in range(1001)]
    found = inrush(times, [3 - t for t in times])
    assert (found.amps, found.running_amps) == (3.0, pytest.approx(1.0))
    assert found.extra_i2t == pytest.approx(20 / 3, rel=1e-6)
    assert found.seconds_over_double == pytest.approx(1.0, rel=1e-9)


def test_current_that_never_changes_asks_nothing_more() -> None:
    found = inrush([0.0, 1.0, 5.0], [0.15, 0.15, 0.15])
    assert found.extra_i2t == 0.0
    assert found.seconds_over_double == 0.0


def test_inrush_that_creeps_up_counts_only_what_is_over_double() -> None:
    """As behind a thermistor: it rises through twice the running current and falls again: half of 4 s is over."""
    assert inrush([0.0, 2.0, 4.0], [1.0, 3.0, 1.0]).seconds_over_double == pytest.approx(2.0)


def test_warm_up_integral_agrees_with_ngspice() -> None:
    """One heater of 50 V 0.3 A behind 120 ohm on 132 V: its resistance as volts of a capacitor, i² summed on 1 F."""
    heater = Warming(HeaterElement(50, 0.3), seconds=8.0)
    found = warm_up([heater], 132, 120, seconds=60)
    ours = inrush(found.seconds, found.amps)
    lines = [
        f"Cr r 0 {heater.heat_capacity()!r} IC={1 / heater.cold_ratio!r}",
        f"Br 0 r I=v(i)*v(i)/0.09*v(r)-pow(abs(v(r)),{heater.loss_exponent!r})",
        f"Bi i 0 V=132/(120+{heater.hot_ohms!r}*v(r))",
        "Ri i 0 1",
        f"Bsum 0 sum I=v(i)*v(i)-{ours.running_amps**2!r}",
        "Csum sum 0 1 IC=0",
        "Rsum sum 0 1e12",
    ]
    theirs = ngspice.measured(lines, "5m 60 0 5m uic", {"total": "find v(sum) at=59.9"})
    assert ours.extra_i2t == pytest.approx(theirs["total"], rel=5e-3)


@pytest.mark.parametrize(
    "wrong", [([0.0], [1.0]), ([0.0, 1.0], [1.0]), ([1.0, 0.0], [1.0, 1.0]), ([0.0, 0.0], [1.0, 1.0])]
)
def test_times_that_cannot_be_are_refused(wrong: tuple[list[float], list[float]]) -> None:
    with pytest.raises(ValueError, match="rising times"):
        inrush(*wrong)
