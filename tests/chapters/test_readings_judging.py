"""Readings against their expected values: bounds, bands and verdicts, at their edges."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import makers
from benchleaf.chapters.readings.direct_coupling import OwnCathode
from benchleaf.chapters.readings.judging import (
    HIGH,
    LOW,
    NOT_EXPECTED,
    POSITIVE_GRID,
    UNDECIDED,
    WITHIN,
    Adjusted,
    Bounds,
    against,
    all_within,
    allowed,
    bounds,
    deviation,
    middle,
    verdict,
)
from benchleaf.chapters.readings.spots import Spot
from benchleaf.record.meaning import Quantity
from benchleaf.record.quantities import read_quantity

PLATE = Spot("V4", "plate", "a", kind="plate")
EVERYTHING = Bounds(-math.inf, math.inf)


def volts(text: str) -> Quantity:
    return read_quantity(text, "voltage")


def one_bound(low: float | None, high: float | None, si: float | None = None) -> Quantity:
    """A value of which only one end is known, as another reader of records may hand it over."""
    return Quantity(si, "V", "range", "…", low=low, high=high)


@pytest.mark.parametrize(("low", "high"), [(90.0, None), (None, 110.0)])
def test_a_value_with_one_bound_says_nothing_and_is_held_to_nothing(low: float | None, high: float | None) -> None:
    """The bound that is not known is not 0 V."""
    value = one_bound(low, high)
    assert bounds(value) == EVERYTHING
    assert middle(value) is None
    band = allowed(PLATE, value, Adjusted(), None)
    assert (band.bounds, band.by) == (EVERYTHING, "stated")
    assert against(band.bounds, Bounds(5, 5)) == WITHIN


@pytest.mark.parametrize(("low", "high"), [(90.0, None), (None, 110.0)])
def test_a_nominal_with_one_end_has_the_ordinary_band(low: float | None, high: float | None) -> None:
    value = Quantity(100.0, "V", "tolerance", "100", low=low, high=high)
    band = allowed(PLATE, value, Adjusted(), None)
    assert (band.bounds, band.by) == (Bounds(80, 120), "assumed")


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("90-110 V", 90, 110),
        ("<5 V", -5, 5),
        (">5 V", 5, math.inf),
        ("<-5 V", -math.inf, -5),
        ("100 V", 100, 100),
        ("-3 V", -3, -3),
    ],
)
def test_what_a_reading_can_be(text: str, low: float, high: float) -> None:
    assert bounds(volts(text)) == Bounds(low, high)


def test_beyond_the_meters_range_is_more_than_the_range() -> None:
    over = volts("OL")
    assert bounds(over, 300) == Bounds(300, math.inf)
    assert bounds(over) == EVERYTHING


@pytest.mark.parametrize(
    ("read", "verdict"),
    [
        ((79.9, 79.9), LOW),
        ((80.0, 80.0), WITHIN),
        ((120.0, 120.0), WITHIN),
        ((120.1, 120.1), HIGH),
        ((70.0, 90.0), UNDECIDED),
        ((110.0, 130.0), UNDECIDED),
        ((70.0, 130.0), UNDECIDED),
    ],
)
def test_verdicts_at_the_edges_of_the_band(read: tuple[float, float], verdict: str) -> None:
    assert against(Bounds(80, 120), Bounds(*read)) == verdict


def test_low_and_high_are_of_the_voltages_size() -> None:
    assert against(Bounds(-12, -8), Bounds(-7, -7)) == LOW
    assert against(Bounds(-12, -8), Bounds(-13, -13)) == HIGH
    assert against(Bounds(-1, 8), Bounds(-3, -3)) == LOW


def test_narrow_bands_have_a_floor() -> None:
    """0.5 V, and 0.2 V at a cathode: common practice, no source."""
    assert allowed(PLATE, volts("1 V"), Adjusted(), None).bounds == Bounds(0.5, 1.5)
    cathode = Spot("V4", "cathode", "k", kind="cathode")
    band = allowed(cathode, volts("0.5 V"), Adjusted(), None)
    assert (band.bounds.low, band.bounds.high, band.by) == (pytest.approx(0.3), pytest.approx(0.7), "floor")
    zero = allowed(cathode, volts("0 V"), Adjusted(), None)
    assert (zero.bounds, zero.by) == (Bounds(-0.05, 0.05), "zero")


def test_a_band_stated_on_the_sheet_moves_with_the_line() -> None:
    """10 % about 100 V, by hand, on a line 5 % up, known to 2 % either way."""
    band = allowed(PLATE, volts("100 V"), Adjusted(1.05, 1.03, 1.07), 0.1)
    assert (band.bounds.low, band.bounds.high) == (pytest.approx(103 - 10.5), pytest.approx(107 + 10.5))
    assert band.by == "stated"
    shifted = allowed(PLATE, volts("100 V"), Adjusted(shift=20.0), 0.1)
    assert (shifted.bounds.low, shifted.bounds.high) == (pytest.approx(108), pytest.approx(132))


def test_deviation_needs_both_and_something_to_be_off_from() -> None:
    assert deviation(80, 100) == pytest.approx(-0.2)
    assert (deviation(None, 100), deviation(80, None), deviation(80, 0)) == (None, None, None)


@pytest.mark.parametrize(
    ("deviation", "normalised", "worth"),
    [
        (None, None, False),
        (None, 0.1, False),
        (0.1, None, False),
        (0.1, 0.1, False),
        (0.1, -0.1, True),
        (-0.1, 0.1, True),
    ],
)
def test_the_figure_at_the_sets_own_b_plus_is_told_where_it_differs(
    deviation: float | None, normalised: float | None, worth: bool
) -> None:
    text = "tubes:\n  V4: 50C5\nreadings:\n  sheet:\n    V4: plate 100\n  found:\n    V4: plate 90\n"
    (row,) = makers.found("readings", text).rows
    assert replace(row, deviation=deviation, normalised_deviation=normalised).worth_normalising is worth


@pytest.mark.parametrize(
    ("told", "whole"),
    [
        ((), False),
        ((WITHIN,), True),
        ((WITHIN, "no expected value"), True),
        (("no expected value",), False),
        ((WITHIN, HIGH), False),
        ((WITHIN, LOW), False),
        ((WITHIN, UNDECIDED), False),
        ((HIGH,), False),
    ],
)
def test_a_list_is_within_where_something_was_held_to_a_value_and_nothing_is_off(
    told: tuple[str, ...], whole: bool
) -> None:
    assert all_within(told) is whole


@pytest.mark.parametrize(
    ("ends", "read", "told"),
    [
        ((-math.inf, 10.0), 11.0, HIGH),
        ((-math.inf, 10.0), -1e6, WITHIN),
        ((5.0, math.inf), 4.9, LOW),
        ((5.0, math.inf), 1e6, WITHIN),
        ((-math.inf, -10.0), -9.0, HIGH),
        ((5.0, 10.0), 10.0 * (1 + 1e-12), WITHIN),
        ((5.0, 10.0), 10.001, HIGH),
    ],
)
def test_a_band_without_an_end_has_no_hair_and_no_sign(ends: tuple[float, float], read: float, told: str) -> None:
    assert against(Bounds(*ends), Bounds(read, read)) == told


GRID = Spot("V4", "grid", "g1", kind="grid")


@pytest.mark.parametrize(
    ("grid", "cathode", "coupled", "said"),
    [
        # So far below its cathode as a bias may be, and no higher, a high grid of which nothing is written may stand.
        ("49 V", 100.0, None, POSITIVE_GRID),
        ("50 V", 100.0, None, NOT_EXPECTED),
        ("100 V", 100.0, None, NOT_EXPECTED),
        ("101 V", 100.0, None, POSITIVE_GRID),
        ("39 V", 60.0, None, POSITIVE_GRID),
        ("40 V", 60.0, None, NOT_EXPECTED),
        ("40 V", None, None, UNDECIDED),
        ("39 V", None, None, POSITIVE_GRID),
        ("90 V", 95.0, False, POSITIVE_GRID),
        ("102 V", 100.0, True, NOT_EXPECTED),
        ("102.1 V", 100.0, True, POSITIVE_GRID),
        ("0.04 V", None, None, NOT_EXPECTED),
        ("0.05 V", None, None, POSITIVE_GRID),
    ],
)
def test_a_grid_above_nought_is_held_to_its_own_cathode(
    grid: str, cathode: float | None, coupled: bool | None, said: str
) -> None:
    """A directly coupled grid may be as far above its cathode as two readings differ (common practice, no source)."""
    assert verdict(GRID, None, None, volts(grid), None, beside=OwnCathode(cathode, coupled)) == said
