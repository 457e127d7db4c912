"""What a swept response says: how wide it is, where its middle lies, how even its sides are; a detector's S-curve.

Points are pairs of hertz and decibels, or hertz and volts, in any order; between two of them lies a straight line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

__all__ = ["DECIBEL_FACTORS", "FallenBy", "SCurve", "Swept", "band_at", "in_decibels", "s_curve", "swept"]

SweptPoints = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class FallenBy:
    """Where a response has fallen by so many decibels, in hertz; an end is None where the points do not reach it."""

    down: float
    low: float | None
    high: float | None

    @property
    def width(self) -> float | None:
        """From end to end."""
        return self.high - self.low if self.low is not None and self.high is not None else None

    @property
    def middle(self) -> float | None:
        """Halfway between the ends."""
        return (self.high + self.low) / 2 if self.low is not None and self.high is not None else None


@dataclass(frozen=True, slots=True)
class Swept:
    """A response: its highest point, its bands at -3 and -6 dB, and ``q``, that of one circuit as wide at -3 dB.

    ``evenness`` is the width above ``about_hertz`` over the one below it, at -6 dB or, where the points do not reach
    that, at -3 dB; 1 is even. ``dip_db`` is how deep it is between two humps, 0 where there is one.
    """

    peak_hertz: float
    three: FallenBy
    six: FallenBy
    q: float | None
    about_hertz: float
    evenness: float | None
    dip_db: float


@dataclass(frozen=True, slots=True)
class SCurve:
    """A detector for FM: where it gives nothing, its two peaks, and what it gives a hertz between them.

    ``balance`` is the lower peak's volts over the higher one's without their signs; 1 is even.
    """

    zero_hertz: float
    low_peak_hertz: float
    high_peak_hertz: float
    balance: float
    volts_per_hertz: float

    @property
    def width_hertz(self) -> float:
        """From peak to peak."""
        return self.high_peak_hertz - self.low_peak_hertz


DECIBEL_FACTORS = {"V": 20.0, "A": 20.0, "W": 10.0}
"""What the logarithm of a ratio is multiplied by, for each SI unit of a level (ISO 80000-3)."""


def in_decibels(values: Sequence[float], factor: float) -> list[float] | None:
    """Values as decibels below their greatest; ``factor`` is 20 for volts, 10 for watts. None where one is 0 or less.

    >>> [round(each, 2) for each in in_decibels([0.5, 1.0], 20) or ()]
    [-6.02, 0.0]
    """
    magnitudes = [abs(value) for value in values]
    if not magnitudes or min(magnitudes) <= 0 or not math.isfinite(max(magnitudes)):
        return None
    top = max(magnitudes)
    return [factor * math.log10(value / top) for value in magnitudes]


def band_at(points: SweptPoints, down: float, *, reference: float | None = None, logarithmic: bool = False) -> FallenBy:
    """Where, to either side of the highest point, the response is first ``down`` decibels below it.

    ``reference`` is the level it is counted from where that is not the highest. With ``logarithmic`` the line between
    two points is straight over the logarithm of the frequency.
    """
    ordered = sorted(points)
    top = max(range(len(ordered)), key=lambda n: ordered[n][1])
    wanted = (ordered[top][1] if reference is None else reference) - down
    low = _first(ordered[top::-1], wanted, logarithmic=logarithmic)
    return FallenBy(down, low, _first(ordered[top:], wanted, logarithmic=logarithmic))


def _first(points: SweptPoints, wanted: float, *, logarithmic: bool) -> float | None:
    for (near, level), (far, next_level) in pairwise(points):
        if next_level <= wanted < level:
            share = (level - wanted) / (level - next_level)
            if logarithmic and near > 0 and far > 0:
                return near * float((far / near) ** share)
            return near + (far - near) * share
    return None


def swept(points: SweptPoints, about_hertz: float | None = None) -> Swept | None:
    """What a swept response comes to; None for fewer than three points, or with two at one frequency.

    ``about_hertz`` is what it should be even about; where it is not given, that is its middle at -3 dB or its peak.
    """
    ordered = sorted(points)
    if len(ordered) < 3 or any(one[0] == other[0] for one, other in pairwise(ordered)):
        return None
    three, six = band_at(ordered, 3.0), band_at(ordered, 6.0)
    peak = max(ordered, key=lambda point: point[1])[0]
    about = about_hertz if about_hertz is not None else three.middle or peak
    q = three.middle / three.width if three.middle and three.width else None
    wide = six if six.width else three
    evenness = None
    if wide.low is not None and wide.high is not None and wide.low < about < wide.high:
        evenness = (wide.high - about) / (about - wide.low)
    return Swept(peak, three, six, q, about, evenness, _dip([level for _, level in ordered]))


def _dip(levels: Sequence[float]) -> float:
    """How far the lowest point between two humps is below the lower of them."""
    deepest = 0.0
    for n in range(1, len(levels) - 1):
        deepest = max(deepest, min(max(levels[:n]), max(levels[n + 1 :])) - levels[n])
    return deepest


def s_curve(points: SweptPoints) -> SCurve | None:
    """What a detector's curve comes to; None for fewer than three points, or where it does not go through zero."""
    ordered = sorted(points)
    if len(ordered) < 3 or any(one[0] == other[0] for one, other in pairwise(ordered)):
        return None
    lowest, highest = min(ordered, key=lambda p: p[1]), max(ordered, key=lambda p: p[1])
    if not lowest[1] < 0 < highest[1]:
        return None
    first, last = sorted((lowest, highest))
    inside = [point for point in ordered if first[0] <= point[0] <= last[0]]
    zero = _zero(inside)
    both = abs(lowest[1]), abs(highest[1])
    slope = (last[1] - first[1]) / (last[0] - first[0])
    return SCurve(zero, first[0], last[0], min(both) / max(both), slope)


def _zero(points: SweptPoints) -> float:
    """Where a curve whose ends have different signs first goes through zero."""
    both = next((one, other) for one, other in pairwise(points) if one[1] * other[1] <= 0)
    (near, level), (far, next_level) = both
    return near + (far - near) * level / (level - next_level)
