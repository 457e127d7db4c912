"""Preferred values against the printed lists of IEC 60063."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.electrics.preferred import SERIES, is_preferred, nearest, next_above, series_values

#: E-series list (IEC 60063) as printed on the preferred-values page of qsl.net/g4usp.
PRINTED = {
    "E6": "10 15 22 33 47 68",
    "E12": "10 12 15 18 22 27 33 39 47 56 68 82",
    "E24": "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91",
    "E48": "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 "
    "316 332 348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953",
    "E96": "100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 169 174 "
    "178 182 187 191 196 200 205 210 215 221 226 232 237 243 249 255 261 267 274 280 287 294 301 309 "
    "316 324 332 340 348 357 365 374 383 392 402 412 422 432 442 453 464 475 487 499 511 523 536 549 "
    "562 576 590 604 619 634 649 665 681 698 715 732 750 768 787 806 825 845 866 887 909 931 953 976",
}


@pytest.mark.handbook
@pytest.mark.parametrize("series", PRINTED)
def test_series_as_printed(series: str) -> None:
    """IEC 60063 as printed on qsl.net/g4usp."""
    assert series_values(series) == tuple(int(v) for v in PRINTED[series].split())


@pytest.mark.regression
def test_dropper_of_1230_ohms() -> None:
    """worked_examples.csv: nearest E12 1200, next up 1500, nearest E24 1200."""
    assert nearest(1230) == 1200
    assert next_above(1230) == 1500
    assert nearest(1230, "E24") == 1200


def test_values_come_back_without_rounding_noise() -> None:
    assert nearest(4.6e-9) == 4.7e-9
    assert next_above(4.7e-9) == 4.7e-9
    assert next_above(0.1 * 3 * 1e-6, "E24") == 0.3e-6
    assert nearest(467e3) == 470e3


@pytest.mark.handbook
def test_old_values_that_are_no_preferred_ones() -> None:
    """rfcafe.com, 1955 colour chart: 5800 ohm is not an E24 value, 24 kohm is."""
    assert not is_preferred(5800, "E24")
    assert is_preferred(24e3, "E24")
    assert is_preferred(0.05e-6, "E24") is False


@pytest.mark.parametrize("value", [0, -1, math.nan, math.inf])
def test_value_must_be_above_zero(value: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        nearest(value)
    with pytest.raises(ValueError, match="above zero"):
        next_above(value)


def test_unknown_series_is_named() -> None:
    with pytest.raises(ValueError, match="E13"):
        nearest(1000, "E13")


@settings(derandomize=True)
@given(st.floats(1e-12, 1e9), st.sampled_from(SERIES))
def test_next_above_is_never_below_and_nearest_never_farther(value: float, series: str) -> None:
    above, near = next_above(value, series), nearest(value, series)
    assert above >= value * (1 - 1e-11)
    assert abs(near - value) <= abs(above - value) * (1 + 1e-9)
    assert is_preferred(near, series)
    assert is_preferred(above, series)
