"""Within its band or not: heaters are judged at the nominal line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .bands import BAND, FILAMENT_BAND
from .rated import Rating
from .running import RunningLine

BATTERY_FILAMENT_VOLTS = 3.0


@dataclass(frozen=True, slots=True)
class Judged:
    """One tube at the nominal line: ``within``, ``low``, ``high`` or ``not known``, and the band it is held to."""

    verdict: str
    of_rated: float | None
    low: float
    high: float
    held: str


def judged(ratings: Sequence[Rating], nominal: RunningLine | None) -> dict[str, Judged]:
    """Each tube against its band; a lamp's tap section is left out of its rectifier's share."""
    found = {}
    for one in ratings:
        running = nominal.tubes.get(one.tube) if nominal else None
        share = running.judged_of_rated if running else None
        low, high = band(one)
        found[one.tube] = Judged(_verdict(share, low, high), share, low, high, one.held)
    return found


def band(one: Rating) -> tuple[float, float]:
    """Lowest and highest share of rated volts."""
    if one.direct and one.volts is not None and one.volts <= BATTERY_FILAMENT_VOLTS and not one.rectifier:
        return FILAMENT_BAND
    return BAND


def _verdict(share: float | None, low: float, high: float) -> str:
    if share is None:
        return "not known"
    # A hair is rounding, not a fault: 110 % computed as 1.1000000000000001 is within.
    if share < low * (1 - 1e-9):
        return "low"
    return "high" if share > high * (1 + 1e-9) else "within"
