"""A value made up from stock: one preferred part, or two in series or in parallel."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .preferred import series_values

__all__ = ["Made", "decades", "nearest_made"]


@dataclass(frozen=True, slots=True)
class Made:
    """One part or two; ``how`` is ``one``, ``series`` or ``parallel``. ``off`` is the error as a ratio."""

    values: tuple[float, ...]
    how: str
    total: float
    off: float


def decades(series: str, lowest: float, highest: float) -> tuple[float, ...]:
    """Every preferred value of a series (IEC 60063) from ``lowest`` to ``highest``, in the same unit."""
    figures = series_values(series)
    width = len(str(figures[0]))
    found = []
    for exponent in range(-15, 12):
        found += [v for f in figures if lowest <= (v := float(f"{f}e{exponent - width + 1}")) <= highest]
    return tuple(sorted(found))


def nearest_made(value: float, stock: Iterable[float], *, capacitors: bool, close: float = 0.02) -> Made | None:
    """What comes nearest to ``value``: one part if that is within ``close``, else the best of one and two.

    Two capacitors add in parallel, two resistors in series. None without stock; raises ValueError unless ``value`` is
    above zero.
    """
    if not value > 0:
        raise ValueError(f"a value above zero is needed: {value}")
    parts = sorted({s for s in stock if s > 0})
    singles = [Made((s,), "one", s, s / value - 1) for s in parts]
    best = min(singles, key=lambda m: abs(m.off), default=None)
    if best is None or abs(best.off) <= close:
        return best
    adding, sharing = ("parallel", "series") if capacitors else ("series", "parallel")
    tried = [best]
    for i, one in enumerate(parts):
        for other in parts[i:]:
            for how, total in ((adding, one + other), (sharing, one * other / (one + other))):
                tried.append(Made((one, other), how, total, total / value - 1))
    two = min(tried, key=lambda m: (round(abs(m.off), 6), len(m.values), -m.values[0]))
    return two if abs(two.off) < abs(best.off) else best
