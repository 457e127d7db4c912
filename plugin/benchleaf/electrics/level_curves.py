"""What curves measured of a whole set say: how far AVC holds the output, and the power at a distortion."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

__all__ = ["avc_hold", "class_a_limit", "power_at_distortion"]


def avc_hold(points: Sequence[tuple[float, float]], fall_db: float = 10.0) -> tuple[float, bool] | None:
    """By how many decibels the signal may fall from the strongest one until the output has fallen by ``fall_db``.

    ``points`` are volts in and decibels out. The second is True where the output never fell so far, so that it is at
    least that much. None for fewer than two points.
    """
    ordered = sorted((point for point in points if point[0] > 0), reverse=True)
    if len(ordered) < 2 or ordered[0][0] == ordered[-1][0]:
        return None
    top_volts, top_level = ordered[0]
    wanted = top_level - fall_db
    for (near, level), (far, next_level) in pairwise(ordered):
        if next_level <= wanted < level:
            share = (level - wanted) / (level - next_level)
            return 20 * math.log10(top_volts / (near * (far / near) ** share)), False
    return 20 * math.log10(top_volts / ordered[-1][0]), True


def power_at_distortion(points: Sequence[tuple[float, float]], share: float = 0.1) -> float | None:
    """The watts at which distortion, a ratio, first reaches ``share``; straight over the logarithm of the power.

    None where the points do not reach from below it to it.
    """
    for (near, least), (far, most) in pairwise(sorted(point for point in points if point[0] > 0)):
        if least < share <= most:
            return float(near * (far / near) ** ((share - least) / (most - least)))
    return None


def class_a_limit(plate_to_cathode_volts: float, amps: float, load_ohms: float | None = None) -> float:
    """The most watts of sine that one tube in class A can give, with its volts and current at rest.

    Half of what it is fed with: neither may the current swing below zero nor the plate below the cathode. With a load
    the smaller of ``I^2 R/2`` and ``V^2/(2 R)``. A tube gives less: it cannot swing so far.

    >>> class_a_limit(250, 0.045, 5000)
    5.0625
    """
    if load_ohms is None:
        return plate_to_cathode_volts * amps / 2
    return min(amps**2 * load_ohms / 2, plate_to_cathode_volts**2 / (2 * load_ohms))
