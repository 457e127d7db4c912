"""A lamp in series with a set at its power-up: what is read of it, and when it cannot have been there."""

from __future__ import annotations

import pytest

from benchleaf.chapters.power_up.series_lamp import lamp_of, was_out


@pytest.mark.parametrize(
    ("said", "watts", "count", "volts"),
    [
        ("60 W lamp in series", 60.0, 1, 120.0),
        ("two 60 W lamps in series", 60.0, 2, 120.0),
        ("3 x 40 W lamps in series", 40.0, 3, 120.0),
        ("100 W 240 V lamp in series", 100.0, 1, 240.0),
        ("5 W lamp in series", 5.0, 1, 120.0),
        ("4.9 W lamp in series", None, 1, 120.0),
        ("1000 W lamp in series", 1000.0, 1, 120.0),
        ("1010 W lamp in series", None, 1, 120.0),
        ("lamp in series", None, 1, 120.0),
        ("40, 60, 100 W lamps in series", None, 1, 120.0),
    ],
)
def test_what_is_said_of_a_lamp_in_series(said: str, watts: float | None, count: int, volts: float) -> None:
    """From 5 to 1000 W: nobody puts another in series (common practice, no source)."""
    lamp = lamp_of(said, 120.0)
    assert lamp is not None
    assert (lamp.watts, lamp.count, lamp.volts) == (watts, count, volts)
    assert (lamp.short_amps is None) == (watts is None)


def test_a_lamp_at_its_own_volts_passes_what_its_watts_are() -> None:
    """Where the set is a dead short all of the line is across the lamp: 60 W on 120 V are half an ampere."""
    one, two = (lamp_of(f"{said} in series", 120.0) for said in ("60 W lamp", "two 60 W lamps"))
    assert one is not None
    assert two is not None
    assert (one.short_amps, two.short_amps) == (0.5, 1.0)


def test_without_a_lamp_or_a_line_there_is_none() -> None:
    assert lamp_of("isolating transformer", 120.0) is None
    assert lamp_of("60 W lamp in series", None) is None


@pytest.mark.parametrize(
    ("volts", "amps", "out"),
    [
        (120.0, 0.5, False),
        (120.0, 0.514, False),
        (120.0, 0.517, True),
        (None, 9.0, False),
        (120.0, None, False),
        (0.0, 9.0, False),
    ],
)
def test_more_than_it_passes_did_not_come_through_it(volts: float | None, amps: float | None, out: bool) -> None:
    """Three per cent more than half an ampere: two meters may differ by as much (common practice, no source)."""
    lamp = lamp_of("60 W lamp in series", 120.0)
    assert lamp is not None
    assert (was_out(lamp, volts, amps) is not None) is out
