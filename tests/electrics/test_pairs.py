"""One preferred part or two: against the printed series and by exhaustive search."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.electrics.pairs import decades, nearest_made


@pytest.mark.handbook
def test_e6_from_1_to_100() -> None:
    """IEC 60063, as printed on qsl.net/g4usp."""
    assert decades("E6", 1, 100) == (1, 1.5, 2.2, 3.3, 4.7, 6.8, 10, 15, 22, 33, 47, 68, 100)
    assert len(decades("E96", 100, 999)) == 96


def test_one_part_near_enough_is_taken() -> None:
    found = nearest_made(50e-9, decades("E6", 1e-9, 1e-6), capacitors=True, close=0.1)
    assert found is not None
    assert (found.values, found.how, found.off) == ((47e-9,), "one", pytest.approx(-0.06))


def test_two_parts_where_one_is_not() -> None:
    """By hand: 250 kohm is 100 kohm and 150 kohm in series; 25 µF is 10 µF and 15 µF in parallel."""
    ohms = nearest_made(250e3, decades("E12", 1e3, 1e7), capacitors=False, close=0.01)
    farads = nearest_made(25e-6, decades("E6", 1e-6, 1e-4), capacitors=True, close=0.05)
    assert ohms is not None
    assert farads is not None
    assert (ohms.values, ohms.how, ohms.total) == ((100e3, 150e3), "series", pytest.approx(250e3))
    assert (farads.values, farads.how, farads.total) == ((10e-6, 15e-6), "parallel", pytest.approx(25e-6))


@settings(max_examples=40)
@given(st.floats(20, 5000), st.lists(st.integers(1, 10000).map(float), min_size=1, max_size=8), st.booleans())
def test_nothing_in_stock_comes_nearer(value: float, stock: list[float], capacitors: bool) -> None:
    found = nearest_made(value, stock, capacitors=capacitors, close=0.0)
    assert found is not None
    pairs = [t for a, b in combinations_with_replacement(stock, 2) for t in (a + b, a * b / (a + b))]
    assert abs(found.off) <= min(abs(t / value - 1) for t in [*stock, *pairs]) + 1e-5


def test_no_stock_no_substitute() -> None:
    assert nearest_made(1.0, [], capacitors=True) is None
    with pytest.raises(ValueError, match="above zero"):
        nearest_made(0.0, [1.0], capacitors=True)
