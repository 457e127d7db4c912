"""Fuses for the line lead of a set: the two rules by which they are rated, and what the heaters ask of them when cold.

Amperes RMS, volts RMS, ohms, seconds; I²t in A²s.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from benchleaf.electrics.heaters import COLD_INRUSH_RATIO

__all__ = ["RULES", "WARM_UP_SECONDS", "FuseRule", "Inrush", "breaking_amps", "inrush", "least_rating"]

WARM_UP_SECONDS = 3.0
"""Common practice, no source: time constant with which the heaters of receiving tubes come up to their resistance."""

_STEPS = 200
_TIME_CONSTANTS = 6.0


@dataclass(frozen=True, slots=True)
class FuseRule:
    """How one standard rates a fuse, all as shares of the rated amperes.

    ``loaded`` may flow for good at 25 °C; ``holds`` must not open it within an hour; ``opens`` must open it within
    ``opens_within`` (words of the source). ``ratings`` are the values sold, in amperes.
    """

    name: Literal["UL", "IEC"]
    standard: str
    loaded: float
    holds: float
    opens: float
    opens_within: str
    ratings: tuple[float, ...]
    source: str


RULES: dict[str, FuseRule] = {
    "UL": FuseRule(
        "UL",
        "UL 248-14",
        0.75,
        1.0,
        1.35,
        "one hour; at twice its rating within two minutes",
        (0.125, 0.1875, 0.25, 0.375, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.25, 8.0, 10.0),
        "Littelfuse fuse selection guide p. 12; continuous load: ibex.tech fuse page and EDN, 26 September 1996; "
        "the values sold from memory",
    ),
    "IEC": FuseRule(
        "IEC",
        "IEC 60127-2",
        1.0,
        1.5,
        2.1,
        "a time that depends on its speed",
        (0.1, 0.125, 0.16, 0.2, 0.25, 0.315, 0.4, 0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 10.0),
        "emc-pstc list message 17696; continuous load: ibex.tech fuse page and EDN, 26 September 1996; the values sold "
        "are the R10 series, from memory",
    ),
}


def least_rating(amps: float, rule: FuseRule) -> float | None:
    """The smallest rating that carries ``amps`` for good; None where that is beyond what is listed."""
    return next((rating for rating in rule.ratings if amps <= rating * rule.loaded * (1 + 1e-9)), None)


def breaking_amps(rating: float, *, high: bool, rule: FuseRule) -> float:
    """Amperes of a short circuit that a fuse can break, by its standard. All from memory, unverified.

    IEC 60127-2: low breaking (glass) 35 A or ten times the rating, whichever is more; high breaking (ceramic, sand)
    1500 A. UL 248-14: 10 kA at 125 V; at 250 V 35 A up to 1 A of rating, 100 A up to 3.5 A, 200 A up to 10 A: ``high``
    stands for the 125 V figure there.
    """
    if rule.name == "IEC":
        return 1500.0 if high else max(35.0, 10 * rating)
    if high:
        return 10_000.0
    return 35.0 if rating <= 1 else 100.0 if rating <= 3.5 else 200.0


@dataclass(frozen=True, slots=True)
class Inrush:
    """Heaters coming up from cold: RMS amperes at the first moment, and what heats a fuse while they do.

    ``extra_i2t`` is the integral of i² over the warm-up less that of the running current; ``seconds_over_double`` how
    long more than twice the running current flows.
    """

    amps: float
    running_amps: float
    extra_i2t: float
    seconds_over_double: float


def inrush(
    line_volts: float,
    heater_ohms: float,
    series_ohms: float = 0.0,
    cold_ratio: float = COLD_INRUSH_RATIO[1],
    warm_up_seconds: float = WARM_UP_SECONDS,
) -> Inrush:
    """The string from cold. ``heater_ohms`` hot, ``series_ohms`` of a dropper that does not change.

    Model: the heaters' resistance rises from hot/``cold_ratio`` to hot as 1 - exp(-t/``warm_up_seconds``); in truth a
    thick heater lags behind a thin one. Raises ValueError unless volts, ohms, ratio and time are above zero.
    """
    if not (line_volts > 0 and heater_ohms > 0 and series_ohms >= 0 and cold_ratio >= 1 and warm_up_seconds > 0):
        raise ValueError("The heaters' inrush needs volts, ohms, a ratio of 1 or more and a time above zero.")
    cold = heater_ohms / cold_ratio

    def amps_at(seconds: float) -> float:
        warmed = 1 - math.exp(-seconds / warm_up_seconds)
        return line_volts / (series_ohms + cold + (heater_ohms - cold) * warmed)

    running = line_volts / (series_ohms + heater_ohms)
    step = _TIME_CONSTANTS * warm_up_seconds / _STEPS
    weights = [1 if n in (0, _STEPS) else 4 if n % 2 else 2 for n in range(_STEPS + 1)]
    extra = math.fsum(w * (amps_at(n * step) ** 2 - running**2) for n, w in enumerate(weights)) * step / 3
    return Inrush(
        amps_at(0.0),
        running,
        extra,
        _seconds_over(2 * running, line_volts, series_ohms, heater_ohms, cold) * warm_up_seconds,
    )


def _seconds_over(amps: float, volts: float, series: float, hot: float, cold: float) -> float:
    """Time constants until the current has fallen to ``amps``."""
    warmed = (volts / amps - series - cold) / (hot - cold) if hot > cold else 0.0
    return -math.log1p(-warmed) if 0 < warmed < 1 else 0.0
