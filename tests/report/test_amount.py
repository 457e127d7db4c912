"""Amounts: said as the trade prints them, with no more figures than their inputs bear."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.record.quantities import read_quantity
from benchleaf.report.amount import Amount, Origin, bound_words, computed, figures_within
from benchleaf.report.source import COMMON_PRACTICE, FROM_MEMORY, Source, Standing


@pytest.mark.parametrize(
    ("tolerances", "figures"),
    [((0.2, 0.2), 2), ((0.1,), 2), ((0.05, 0.05), 3), ((0.01, 0.01), 3), ((0.005,), 4), ((None,), 2), ((1.0,), 1)],
)
def test_figures_follow_the_tolerances(tolerances: tuple[float | None, ...], figures: int) -> None:
    assert figures_within(*tolerances) == figures


@given(st.lists(st.floats(1e-4, 2), min_size=1, max_size=4), st.floats(1, 9.9999))
def test_the_last_figure_is_of_the_order_of_the_uncertainty(tolerances: list[float], leading: float) -> None:
    """JCGM 100:2008, 7.2.6: a result is rounded to its uncertainty; 5.1.6: relative ones add in quadrature."""
    relative = sum(t * t for t in tolerances) ** 0.5
    step = 10.0 ** (1 - figures_within(*tolerances))
    uncertainty = leading * relative
    assert figures_within(*tolerances) == 1 or step > uncertainty / 100 * (1 - 1e-9)
    assert step <= max(1.0, uncertainty * 1.0001)


def test_a_corner_of_parts_of_twenty_per_cent_has_two_figures() -> None:
    """1/(2π · 470 kΩ · 10 nF) is 33.863 Hz."""
    corner = computed(33.863, "Hz", tolerances=(0.2, None))
    assert corner.text == "34\u202fHz"
    assert corner.origin is Origin.COMPUTED
    assert computed(33.863, "Hz", tolerances=(0.01, 0.05)).text == "33.9\u202fHz"


def test_exact_inputs_leave_all_the_figures_asked_for() -> None:
    assert computed(33.863, "Hz", tolerances=(0.0,), most=5).text == "33.863\u202fHz"


def test_a_computed_amount_names_its_weakest_source() -> None:
    read = Source(Standing.READ, "IEC 60062")
    assert computed(1.0, "V", sources=(read, None, FROM_MEMORY, COMMON_PRACTICE)).source == FROM_MEMORY
    assert computed(1.0, "V").source is None


@pytest.mark.parametrize(
    ("written", "kind", "said"),
    [
        (".01 mfd", "capacitance", "10\u202fnF"),
        ("<0.5 mA", "current", "at most 500\u202fµA"),
        (">20 megohm", "resistance", "at least 20\u202fMΩ"),
        ("~ 1.2 V", "voltage", "about 1.2\u202fV"),
    ],
)
def test_of_a_quantity_with_its_spelling_and_its_bound(written: str, kind: str, said: str) -> None:
    read = read_quantity(written, kind)
    amount = Amount(read.si, read.unit, Origin.MEASURED, written, bound_words(read.qualifier))
    assert (amount.text, amount.typed) == (said, written)


def test_a_sign_before_what_is_above_and_nothing_for_what_is_not_known() -> None:
    assert Amount(0.36, "1", signed=True).text == "+36\u202f%"
    assert Amount(-0.004, "1", signed=True).text == "−0.4\u202f%"
    assert Amount(0.0, "1", signed=True).text == "0\u202f%"
    assert Amount(None, "V", bound="at least", signed=True).text == "–"
    assert Amount(9.58, "V", bound="at most", signed=True).text == "at most +9.58\u202fV"
