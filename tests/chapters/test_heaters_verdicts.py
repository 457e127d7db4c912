"""Which band a heater is held to, and what a share of its rated volts comes to at the ends of it."""

from __future__ import annotations

import pytest

from benchleaf.chapters.heaters.bands import BAND, FILAMENT_BAND
from benchleaf.chapters.heaters.rated import Rating
from benchleaf.chapters.heaters.verdicts import band


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
