"""Which band a heater is held to, and what a share of its rated volts comes to at the ends of it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from benchleaf.chapters.heaters.bands import BAND, FILAMENT_BAND
from benchleaf.chapters.heaters.rated import Rating
from benchleaf.chapters.heaters.verdicts import band, built_without_dropper, judged


def rating(volts: float | None, *, direct: bool = True, rectifier: bool = False) -> Rating:
    return Rating("V1", "", volts, 0.05, direct=direct, rectifier=rectifier)


@pytest.mark.parametrize(
    ("one", "expected"),
    [
        (rating(1.4), FILAMENT_BAND),
        (rating(3.0), FILAMENT_BAND),
        (rating(3.1), BAND),
        (rating(2.5, direct=False), BAND),
        (rating(2.5, rectifier=True), BAND),
        (rating(None), BAND),
    ],
)
def test_a_batterys_filament_has_a_band_of_its_own(one: Rating, expected: tuple[float, float]) -> None:
    """Directly heated tubes for up to 3 V, two filament cells, that are no rectifiers (common practice, no source)."""
    assert band(one) == expected


def at(share: float | None, low: float | None = None, high: float | None = None) -> Any:
    """A string at its nominal line in which V1 has this share of its rated volts, or lies between those."""
    return SimpleNamespace(tubes={"V1": SimpleNamespace(judged_of_rated=share, low_of_rated=low, high_of_rated=high)})


HEATER = rating(12.6, direct=False)


@pytest.mark.parametrize(
    ("one", "nominal", "verdict", "graded"),
    [
        (HEATER, at(0.9), "within", "good"),
        (HEATER, at(0.899), "low", "bad"),
        (HEATER, at(1.1), "within", "good"),
        (HEATER, at(1.1 + 1e-12), "within", "good"),
        (HEATER, at(1.101), "high", "bad"),
        (HEATER, at(None), "not known", "unknown"),
        (HEATER, None, "not known", "unknown"),
        (rating(1.4), at(0.79), "low", "watch"),
        (rating(1.4), at(0.81), "within", "good"),
        (rating(1.4), at(1.15), "high", "watch"),
        (HEATER, at(0.85, 0.8, 0.89), "low", "bad"),
        (HEATER, at(0.85, 0.8, 0.9), "not known", "unknown"),
        (HEATER, at(1.2, 1.11, 1.3), "high", "bad"),
        (HEATER, at(1.2, 1.1, 1.3), "not known", "unknown"),
        (HEATER, at(1.2, None, 1.3), "high", "bad"),
        (HEATER, at(1.0, 0.8, 1.2), "within", "good"),
    ],
)
def test_a_share_of_the_rated_volts_against_its_band(one: Rating, nominal: Any, verdict: str, graded: str) -> None:
    """Ten per cent either way (Darby 1962); a filament's band is from memory, and is no ground for a fault.

    Where a share is known between two ends a verdict stands that holds at the nearer of them.
    """
    (found,) = judged([one], nominal).values()
    assert (found.verdict, found.graded, found.by_reading) == (verdict, graded, False)


def test_a_filament_read_within_its_band_overrules_what_is_computed() -> None:
    (found,) = judged([rating(1.4)], at(1.3), read={"V1": 0.98}).values()
    assert (found.verdict, found.of_rated, found.graded, found.by_reading) == ("within", 0.98, "good", True)
    (other,) = judged([rating(1.4)], at(1.3), read={"V2": 0.98}).values()
    assert (other.verdict, other.by_reading) == ("high", False)


@pytest.mark.parametrize(
    ("share", "no_dropper", "graded"),
    [(1.25, True, "watch"), (1.2501, True, "bad"), (1.25, False, "bad"), (1.05, True, "good"), (0.89, True, "bad")],
)
def test_a_string_without_a_dropper_runs_high_as_far_as_the_line_has_risen(
    share: float, no_dropper: bool, graded: str
) -> None:
    """From 110 to 125 V, the ends of the working band of 1927: 1.1 times 125/110 are 1.25."""
    (found,) = judged([HEATER], at(share), no_dropper=no_dropper).values()
    assert found.graded == graded


@pytest.mark.parametrize(("other", "graded"), [(0.9, "watch"), (0.89, "bad"), (None, "bad"), (1.26, "bad")])
def test_all_must_run_as_the_risen_line_would_have_them(other: float | None, graded: str) -> None:
    """One that runs low, or of which nothing is known, tells of more than the line of today."""
    nominal: Any = SimpleNamespace(tubes={"V1": at(1.2).tubes["V1"], "V2": at(other).tubes["V1"]})
    two = (HEATER, replace(HEATER, tube="V2"))
    assert judged(two, nominal, no_dropper=True)["V1"].graded == graded


@pytest.mark.parametrize("there", ["dropper", "mixed", "thermistor", "shunts", ""])
def test_a_string_built_without_a_dropper_has_nothing_that_would_change_its_heaters(there: str) -> None:
    names = ("dropper", "mixed", "thermistor", "shunts")
    string: Any = SimpleNamespace(**{name: name == there for name in names})
    assert built_without_dropper(string) is (not there)
