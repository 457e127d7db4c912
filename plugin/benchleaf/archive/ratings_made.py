"""Ratings that parts are made with today, by their kind: common practice of those who sell them, no source.

That of capacitors for the line is RMS on alternating current: IEC 60384-14 rates them so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from ..record.part_types import FOIL_TYPES

FILM_VOLTS = (63, 100, 250, 400, 630, 1000, 1250, 1600, 2000)
"""DC volts of film capacitors with leads; 63 V is made with 100 V and less where 50 V were asked for."""
_VOLTS: dict[str, Sequence[float]] = {
    "electrolytic": (10, 16, 25, 35, 50, 63, 100, 160, 200, 250, 350, 400, 450, 500, 550),
    "tantalum": (6.3, 10, 16, 20, 25, 35, 50),
    "ceramic": (50, 100, 500, 1000, 2000, 3000, 6000),
    "mica": (100, 300, 500, 1000),
    "silver mica": (100, 300, 500, 1000),
}
_CLASS_VOLTS = {"X": (250, 275, 300, 310, 440, 760), "Y": (250, 300, 500)}
"""As makers' data sheets have them: a list of suppression capacitors of class X (250 to 440 V) and X1 of 760 V; Y2 of
250 and 300 V, Y1 of 500 V."""
LEAST_CLASS_VOLTS = 264.0
"""What a capacitor of a class serves whose rating is not written: a line of 240 V at its highest."""
_WATTS = (0.25, 0.5, 1, 2, 3, 5, 7, 10, 15, 25, 50)
LOW_VOLTS = 100.0
"""Up to this a capacitor is one of a cathode or a bias, above it one of the high voltage: never the same part."""
SMALL_WATTS = 3.0
"""Up to this a resistor is a film resistor on its leads, above it a large one that is mounted clear of others."""


def volts_made(kind: str, needs: Iterable[float | None]) -> float | None:
    """The lowest rating in volts made for a ``kind`` of capacitor that serves all ``needs``; None where none is known.

    Above the highest that is made, the need itself.
    """
    word = kind.partition(",")[0]
    return _made(FILM_VOLTS if word in FOIL_TYPES else _VOLTS.get(word, FILM_VOLTS), needs)


def ac_volts_made(kind: str, needs: Iterable[float | None]) -> float | None:
    """The same in volts RMS: of class Y, or else of class X as of any made for AC."""
    return _made(_CLASS_VOLTS["Y" if kind.startswith("class ") and "Y" in kind else "X"], needs)


def watts_made(needs: Iterable[float | None]) -> float | None:
    """The same in watts for resistors."""
    return _made(_WATTS, needs)


def _made(ratings: Sequence[float], needs: Iterable[float | None]) -> float | None:
    most = max((need for need in needs if need is not None), default=math.nan)
    if math.isnan(most):
        return None
    return next((float(rating) for rating in ratings if rating >= most * (1 - 1e-9)), float(f"{most:.3g}"))
