"""The log of an electrolytic's reforming: what it comes to at each bound, and the line that it is carried on by."""

from __future__ import annotations

import math

import pytest

from benchleaf.electrics.reforming import outlook, volts_across

HOUR = 3600.0


def power(exponent: float, first: float, *seconds: float) -> list[tuple[float | None, float]]:
    """Readings of a leakage of ``first`` amperes after a minute that falls as a power of time."""
    return [(t, first * (max(t, 60.0) / 60.0) ** -exponent) for t in seconds]


@pytest.mark.parametrize(
    ("before", "last", "settled", "rising"),
    [
        (1e-3, 0.91e-3, True, False),
        (1e-3, 0.89e-3, False, False),
        (1e-3, 1.09e-3, True, False),
        (1e-3, 1.11e-3, False, True),
        (0.0, 0.0, True, False),
        (0.0, 1e-6, False, True),
    ],
)
def test_two_readings_within_a_tenth_are_settled_and_a_tenth_more_rises(
    before: float, last: float, settled: bool, rising: bool
) -> None:
    found = outlook([(None, before), (None, last)], None)
    assert found is not None
    assert (found.settled, found.rising, found.exponent, found.under_limit) == (settled, rising, None, None)


@pytest.mark.parametrize(
    ("limit", "exponent", "hopeless"),
    [
        (1.0e-3, 0.5, False),
        (0.5e-3, 0.5, False),
        (1e-3 * (24 * HOUR / 60.0) ** -0.5 * 1.02, 0.5, False),
        (1e-3 * (24 * HOUR / 60.0) ** -0.5 * 0.98, 0.5, True),
        (0.5e-3, -0.1, True),
        (0.5e-3, 0.0, True),
        (None, 0.5, None),
    ],
)
def test_what_will_not_be_under_its_limit_within_a_day_is_given_up(
    limit: float | None, exponent: float, hopeless: bool | None
) -> None:
    found = outlook(power(exponent, 1e-3, 0.0, 120.0, 240.0, 300.0), limit)
    assert found is not None
    assert found.exponent == pytest.approx(exponent, abs=1e-9)
    assert found.hopeless is hopeless


@pytest.mark.parametrize(("exponent", "limit"), [(0.5, 0.1e-3), (1.0, 0.2e-3), (0.25, 0.5e-3)])
def test_the_line_meets_the_limit_where_the_power_of_time_does(exponent: float, limit: float) -> None:
    """I = I0 (t / 60 s)^-n, so t = 60 s (I0 / I)^(1/n), by hand."""
    found = outlook(power(exponent, 1e-3, 60.0, 90.0, 240.0), limit)
    assert found is not None
    assert found.seconds_to_limit == pytest.approx(60.0 * (1e-3 / limit) ** (1 / exponent))


@pytest.mark.parametrize(
    "log",
    [
        [(60.0, 1e-3)],
        [(None, 1e-3), (60.0, 1e-3)],
        [(60.0, 1e-3), (120.0, 0.0)],
        [(0.0, 1e-3), (30.0, 0.9e-3), (60.0, 0.8e-3)],
    ],
)
def test_without_two_times_there_is_no_line(log: list[tuple[float | None, float]]) -> None:
    found = outlook(log, 0.5e-3)
    assert found is not None
    assert (found.exponent, found.seconds_to_limit) == (None, None)
    assert found.hopeless in (None, False)


def test_a_limit_that_is_met_after_ages_is_never_met() -> None:
    found = outlook(power(0.01, 1e-3, 60.0, 600.0), 0.1e-3)
    assert found is not None
    assert found.seconds_to_limit is None
    assert found.hopeless is True


@pytest.mark.parametrize(("amps", "volts"), [(0.0, 450.0), (1e-3, 440.0), (45e-3, 0.0), (46e-3, 0.0)])
def test_a_series_resistor_takes_its_volts_and_no_more_than_there_are(amps: float, volts: float) -> None:
    assert math.isclose(volts_across(450.0, 10e3, amps), volts)
