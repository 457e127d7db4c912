"""How the reforming of an electrolytic goes: its leakage falls as a power of time, or it does not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["LONGEST_SECONDS", "SETTLED_CHANGE", "START_SECONDS", "Outlook", "outlook", "volts_across"]

SETTLED_CHANGE = 0.1
"""The last two readings differ by less: it has settled (common practice, no source)."""
LONGEST_SECONDS = 24 * 3600.0
"""What has not come under its limit by then, or will not, is given up (common practice, no source)."""
START_SECONDS = 60.0
"""What was read at the very start counts as read then: a logarithm has no zero."""
_LEAST_RISE = 1.1


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a log of leakage says.

    ``under_limit`` is of the last reading. ``settled``: the last two differ by less than a tenth. ``rising``: the last
    reading is above the one before by more than a tenth. ``exponent`` is n of I ~ t^-n over the readings after the
    start; ``seconds_to_limit`` when that line meets the limit, counted from the start, None if it never does.
    """

    last_amps: float
    limit_amps: float | None
    under_limit: bool | None
    settled: bool | None
    rising: bool | None
    exponent: float | None
    seconds_to_limit: float | None

    @property
    def hopeless(self) -> bool | None:
        """Whether it is over its limit and will be so after the longest time; None where that cannot be known."""
        if self.under_limit is None or self.under_limit:
            return None if self.under_limit is None else False
        if self.exponent is None:
            return None
        return self.seconds_to_limit is None or self.seconds_to_limit > LONGEST_SECONDS


def volts_across(supply_volts: float, series_ohms: float, amps: float) -> float:
    """Volts at the capacitor behind its series resistor; never below zero."""
    return max(supply_volts - series_ohms * amps, 0.0)


def outlook(log: Sequence[tuple[float | None, float]], limit_amps: float | None) -> Outlook | None:
    """From readings (seconds since the start, or None, and amperes) in the order taken; None without a reading."""
    if not log:
        return None
    last = log[-1][1]
    before = log[-2][1] if len(log) > 1 else None
    exponent, meets = _line(log, limit_amps)
    return Outlook(
        last_amps=last,
        limit_amps=limit_amps,
        under_limit=None if limit_amps is None else last <= limit_amps,
        settled=None if before is None else abs(last - before) <= SETTLED_CHANGE * max(before, 1e-12),
        rising=None if before is None else last > before * _LEAST_RISE,
        exponent=exponent,
        seconds_to_limit=meets,
    )


def _line(log: Sequence[tuple[float | None, float]], limit: float | None) -> tuple[float | None, float | None]:
    """Least squares of log I over log t; a reading at the very start counts as after one minute."""
    points = [(math.log(max(t, START_SECONDS)), math.log(i)) for t, i in log if t is not None and i > 0]
    if len(points) < 2:
        return None, None
    mean_t, mean_i = (sum(p[k] for p in points) / len(points) for k in (0, 1))
    spread = sum((t - mean_t) ** 2 for t, _ in points)
    if spread < 1e-9:
        return None, None
    slope = sum((t - mean_t) * (i - mean_i) for t, i in points) / spread
    if limit is None or slope >= -1e-6:
        return -slope, None
    power = mean_t + (math.log(limit) - mean_i) / slope
    return -slope, math.exp(power) if power < 30 else None
