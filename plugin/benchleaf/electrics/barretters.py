"""Barretters: iron wire in hydrogen that holds a heater string's current over a range of volts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchleaf.electrics.heaters import StringMember

__all__ = ["Barretter", "Regulated", "behind_barretter"]


@dataclass(frozen=True, slots=True)
class Barretter:
    """Holds ``amps`` while the volts across it lie between ``low_volts`` and ``high_volts``."""

    amps: float
    low_volts: float
    high_volts: float

    def __post_init__(self) -> None:
        if not (0 < self.amps < math.inf and 0 <= self.low_volts < self.high_volts < math.inf):
            raise ValueError(f"A barretter needs a current above zero and a range of volts: {self}")


@dataclass(frozen=True, slots=True)
class Regulated:
    """A string at its barretter's current: heater volts in order, what is left for the barretter, and its heat.

    ``regulating`` is false where that lies outside the barretter's range; the current is then not what it says.
    """

    amps: float
    heater_volts: tuple[float, ...]
    barretter_volts: float
    barretter_watts: float
    regulating: bool


def behind_barretter(heaters: Sequence[StringMember], line_volts: float, barretter: Barretter) -> Regulated:
    """A string of ``heaters`` on ``line_volts`` (RMS or DC) whose current the barretter holds."""
    volts = tuple(h.volts_at(barretter.amps) for h in heaters)
    left = line_volts - math.fsum(volts)
    regulating = barretter.low_volts <= left <= barretter.high_volts
    return Regulated(barretter.amps, volts, left, left * barretter.amps, regulating)
