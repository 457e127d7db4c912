"""The bands that an ohmmeter's reading before power is held to: their ends, and what lies over each other."""

from __future__ import annotations

import math

import pytest

from benchleaf.chapters.power_up.cold_expected import ColdBands, _merged
from benchleaf.record.quantities import read_quantity


@pytest.mark.parametrize(
    ("written", "within"),
    [
        ("96 ohm", True),
        ("95 ohm", False),
        ("207 ohm", True),
        ("208 ohm", False),
        ("< 95 ohm", False),
        ("< 300 ohm", True),
        ("> 95 ohm", True),
        ("> 207 ohm", True),
        ("> 208 ohm", False),
        ("open", False),
        ("short", False),
    ],
)
def test_a_reading_lies_in_a_band_with_what_meter_and_leads_make(written: str, within: bool) -> None:
    """By hand: 100 to 200 ohm, 3 % and 1 ohm beyond each: 96 to 207 ohm."""
    assert ColdBands(((100.0, 200.0),)).holds(read_quantity(written, "resistance")) is within


def test_what_is_open_is_held_by_a_band_without_an_end_and_a_short_by_one_from_nothing() -> None:
    without_end, from_nothing = ColdBands(((1e6, math.inf),)), ColdBands(((0.0, 2.0), (50.0, 60.0)))
    assert without_end.holds(read_quantity("open", "resistance"))
    assert from_nothing.holds(read_quantity("short", "resistance"))
    assert from_nothing.holds(read_quantity("55 ohm", "resistance"))
    assert not from_nothing.holds(read_quantity("10 ohm", "resistance"))
    assert (from_nothing.low_ohms, from_nothing.high_ohms) == (0.0, 60.0)


def test_bands_that_lie_over_each_other_are_one() -> None:
    assert _merged([(5.0, 6.0), (1.0, 3.0), (2.0, 4.0)]) == ((1.0, 4.0), (5.0, 6.0))
    assert _merged([(1.0, 4.0), (2.0, 3.0)]) == ((1.0, 4.0),)
    assert _merged([(100.0, 200.0), (205.0, 300.0)]) == ((100.0, 300.0),)
    assert _merged([(100.0, 200.0), (207.0, 300.0)]) == ((100.0, 200.0), (207.0, 300.0))
