"""Preferred values of IEC 60063 (series E3 to E192)."""

from __future__ import annotations

import math
from typing import Any

__all__ = ["SERIES", "is_preferred", "nearest", "next_above", "series_values"]

SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")


def series_values(series: str = "E12") -> tuple[int, ...]:
    """The significant figures of a series, as IEC 60063 prints them: two digits up to E24, three from E48."""
    from eseries import series as members

    return tuple(members(_key(series)))


def nearest(value: float, series: str = "E12") -> float:
    """The preferred value nearest to ``value``, in the same unit. Raises ``ValueError`` unless above 0."""
    from eseries import find_nearest

    return _tidy(find_nearest(_key(series), _positive(value)))


def next_above(value: float, series: str = "E12") -> float:
    """The smallest preferred value not below ``value``, in the same unit. Raises ``ValueError`` unless above 0."""
    from eseries import find_greater_than_or_equal

    return _tidy(find_greater_than_or_equal(_key(series), _tidy(_positive(value))))


def is_preferred(value: float, series: str = "E12") -> bool:
    """Whether ``value`` is a member of the series, to within a part in a million."""
    return math.isclose(nearest(value, series), value, rel_tol=1e-6)


def _key(series: str) -> Any:
    from eseries import ESeries

    if series not in SERIES:
        raise ValueError(f"No series {series!r} in IEC 60063: {', '.join(SERIES)}")
    return ESeries[series]


def _positive(value: float) -> float:
    if not 0 < value < math.inf:
        raise ValueError(f"A preferred value is above zero: {value}")
    return value


def _tidy(value: float) -> float:
    """Twelve figures: takes off the last-digit noise of powers of ten."""
    return float(f"{value:.12g}")
