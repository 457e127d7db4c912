"""Fuses for the line lead of a set: the two rules by which they are rated, and what the heaters ask of them when cold.

Amperes RMS, volts RMS, ohms, seconds; I²t in A²s.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

__all__ = ["RULES", "FuseRule", "Inrush", "breaking_amps", "inrush", "least_rating", "rule_for"]


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


_IEC_FROM_VOLTS, _IEC_HERTZ = 200.0, 50.0


def rule_for(volts: float, hertz: float) -> FuseRule:
    """The rule by which fuses are sold where the mains has these volts (RMS, or DC) and hertz (0 for direct current).

    IEC 60127 where it has 50 Hz or more than 200 V, UL 248-14 elsewhere (common practice, no source).
    """
    iec = volts > _IEC_FROM_VOLTS or abs(hertz - _IEC_HERTZ) < 1
    return RULES["IEC" if iec else "UL"]


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


def inrush(seconds: Sequence[float], amps: Sequence[float]) -> Inrush:
    """What a fuse has to bear of a current that was computed from cold (``electrics.warm_up``), RMS over seconds.

    The last current is the running one. By the trapezium rule on i². Raises ValueError for fewer than two moments,
    times that do not rise, or lists of different lengths.
    """
    if len(seconds) < 2 or len(seconds) != len(amps) or any(b <= a for a, b in pairwise(seconds)):
        raise ValueError("The heaters' inrush needs rising times, two or more, and a current for each.")
    running = amps[-1]
    over = [a**2 - running**2 for a in amps]
    moments = list(pairwise(zip(seconds, over, strict=True)))
    extra = math.fsum((t1 - t0) * (y0 + y1) / 2 for (t0, y0), (t1, y1) in moments)
    return Inrush(max(amps), running, extra, _seconds_over(2 * running, seconds, amps))


def _seconds_over(limit: float, seconds: Sequence[float], amps: Sequence[float]) -> float:
    """How long more than ``limit`` flows, by straight lines between the moments."""
    total = 0.0
    for (t0, a0), (t1, a1) in pairwise(zip(seconds, amps, strict=True)):
        low, high = min(a0, a1), max(a0, a1)
        total += (t1 - t0) * (1.0 if low >= limit else max(high - limit, 0.0) / (high - low) if high > low else 0.0)
    return total
