"""A capacitor across a source with a resistor in series, and feedback around an amplifier: the sums of both."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Feedback", "feedback", "least_of_treble", "shunt_corner"]


@dataclass(frozen=True, slots=True)
class Feedback:
    """``returned_share`` is what comes back, ``loop_gain_times`` what a signal is multiplied by once around the loop.

    ``factor`` is 1 + loop gain: gain, distortion and output resistance are divided by it. ``decibels`` are its own.
    """

    returned_share: float
    loop_gain_times: float
    factor: float
    decibels: float


def shunt_corner(source_ohms: float, series_ohms: float, farads: float) -> float:
    """Hertz at which ``farads`` with ``series_ohms`` across a source begin to take 3 dB: 1/(2 pi C (Rs + R))."""
    return 1 / (2 * math.pi * farads * (source_ohms + series_ohms))


def least_of_treble(source_ohms: float, series_ohms: float) -> float:
    """What is left far above the corner, as a ratio: the series resistor against all of it, R/(Rs + R)."""
    return series_ohms / (source_ohms + series_ohms)


def feedback(forward_gain: float, returned: float) -> Feedback:
    """Negative feedback of a share of the output around a forward gain (Black, 1934: A/(1 + A beta))."""
    loop = forward_gain * returned
    return Feedback(returned, loop, 1 + loop, 20 * math.log10(1 + loop))
