"""Fuses: rules of rating as printed, and the inrush model against ngspice."""

from __future__ import annotations

import math

import pytest

import ngspice
from benchleaf.electrics.fuses import RULES, breaking_amps, inrush, least_rating


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


@pytest.mark.regression
def test_heaters_without_a_dropper_begin_at_their_cold_ratio() -> None:
    found = inrush(117.0, 780.0, 0.0, cold_ratio=7.2)
    assert found.running_amps == pytest.approx(0.15)
    assert found.amps == pytest.approx(0.15 * 7.2)


@pytest.mark.regression
def test_dropper_softens_the_first_current() -> None:
    assert inrush(117.0, 400.0, 380.0).amps == pytest.approx(117 / (380 + 400 / 7.2))


def test_no_inrush_without_a_difference_of_hot_and_cold() -> None:
    found = inrush(117.0, 780.0, cold_ratio=1.0)
    assert found.extra_i2t == pytest.approx(0.0, abs=1e-9)
    assert found.seconds_over_double == 0.0


def test_warm_up_integral_agrees_with_ngspice() -> None:
    """A resistor that rises as 1 - exp(-t/tau), its current squared and summed on a capacitor of 1 F."""
    hot, series, tau = 600.0, 180.0, 3.0
    cold = hot / 7.2
    ours = inrush(132.0, hot, series)
    ohms = f"({series}+{cold!r}+({hot}-{cold!r})*(1-exp(-time/{tau})))"
    lines = [
        "Vline line 0 132",
        f"Bheat line 0 i=132/{ohms}",
        f"Bsum 0 sum i=pow(132/{ohms},2)-pow({ours.running_amps!r},2)",
        "Csum sum 0 1",
        "Rsum sum 0 1e12",
    ]
    found = ngspice.measured(lines, "1m 18 0 5m uic", {"total": "find v(sum) at=17.99"})
    assert ours.extra_i2t == pytest.approx(found["total"], rel=2e-3)


def test_time_over_double_is_where_the_model_says() -> None:
    found = inrush(117.0, 780.0)
    ohms = 117 / (2 * found.running_amps)
    warmed = (ohms - 780 / 7.2) / (780 - 780 / 7.2)
    assert found.seconds_over_double == pytest.approx(-3.0 * math.log(1 - warmed))


@pytest.mark.parametrize("wrong", [(0.0, 1.0, 0.0), (117.0, 0.0, 0.0), (117.0, 1.0, -1.0)])
def test_values_that_cannot_be_are_refused(wrong: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="above zero"):
        inrush(*wrong)
