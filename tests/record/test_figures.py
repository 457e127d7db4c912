"""Numbers rounded where they are computed: the figures that a page says, and no others."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.record.figures import in_figures, to_figures
from benchleaf.record.units import say


@pytest.mark.parametrize(
    ("value", "digits", "meant"),
    [(0.0378205, 3, 0.0378), (1.365, 2, 1.4), (1.365, 3, 1.37), (-12.345, 3, -12.3), (148.7, 2, 150.0), (0.0, 3, 0.0)],
)
def test_figures_that_mean_something(value: float, digits: int, meant: float) -> None:
    assert to_figures(value, digits) == meant


def test_what_is_no_number_stays_as_it_is() -> None:
    assert to_figures(None) is None
    assert to_figures(math.inf) == math.inf


@settings(deadline=None)
@given(st.floats(1e-6, 999), st.sampled_from(["V", "A", "W", "ohm"]))
def test_a_page_says_the_same_of_the_rounded_number(value: float, unit: str) -> None:
    assert say(to_figures(value), unit) == say(value, unit)


@dataclass(frozen=True, slots=True)
class _Found:
    volts: float
    amps: float | None


def test_only_the_fields_named_are_rounded() -> None:
    assert in_figures(_Found(1.2345, 0.12345), "amps") == _Found(1.2345, 0.123)
    assert in_figures(_Found(1.2345, None), "volts", "amps", digits=2) == _Found(1.2, None)
