"""Tracking of a superheterodyne: one gang for signal circuit and oscillator, the oscillator padded; images, whistles.

The oscillator is taken to run above the signal. Its trimmer lies across its section of the gang, the padder in series
with both, the coil across all. Hertz, farads and henries throughout.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

__all__ = [
    "AlignedAt",
    "CannotCoverError",
    "NoPadderError",
    "OscillatorCircuit",
    "SignalCircuit",
    "error",
    "half_width",
    "image",
    "image_rejection",
    "images_in_band",
    "least_error_points",
    "loss",
    "oscillator_through",
    "signal_circuit",
    "spread_points",
    "whistles",
]  # fmt: skip

AlignedAt = tuple[float, float, float]
"""The three frequencies of a band at which signal and oscillator are in step, lowest first."""

_STEPS = 200
"""Steps across a band in which its greatest error is looked for; that is flat, so that finer ones find no more."""


class CannotCoverError(ValueError):
    """The gang's capacitances lie too near to each other for the band."""


class NoPadderError(ValueError):
    """Nothing brings the oscillator into step; ``lacking`` says what of coil, padder, trimmer would not be above 0."""

    def __init__(self, lacking: str) -> None:
        super().__init__(lacking)
        self.lacking = lacking


@dataclass(frozen=True, slots=True)
class SignalCircuit:
    """A coil, and what lies across the gang beside it: trimmer and strays together."""

    henries: float
    trimmer_farads: float

    def gang_at(self, hertz: float) -> float:
        """The gang's capacitance that tunes it: Thomson's formula, ``1/(w^2 L)`` less the trimmer."""
        return 1 / ((2 * math.pi * hertz) ** 2 * self.henries) - self.trimmer_farads


@dataclass(frozen=True, slots=True)
class OscillatorCircuit:
    """A coil across a padder in series with the gang, which has the trimmer across it."""

    henries: float
    padder_farads: float
    trimmer_farads: float

    def hertz(self, gang_farads: float) -> float:
        """Its frequency with the gang at one capacitance (Thomson's formula, losses left out)."""
        across = gang_farads + self.trimmer_farads
        return 1 / (2 * math.pi * math.sqrt(self.henries * across * self.padder_farads / (across + self.padder_farads)))


def signal_circuit(low_hertz: float, high_hertz: float, least_farads: float, most_farads: float) -> SignalCircuit:
    """The coil and trimmer that tune over just the band with the gang between its ends.

    From ``(C_most + Ct)/(C_least + Ct) = (f_high/f_low)^2``. Raises CannotCoverError where ``Ct`` would be below 0.

    >>> round(300e-12 / (1650 / 400) ** 2 * 1e12, 2)  # Scilab Textbook Companion 1409, ex. 8.5: 17.65 pF, no trimmer
    17.63
    """
    ratio = (high_hertz / low_hertz) ** 2
    trimmer = (most_farads - ratio * least_farads) / (ratio - 1)
    if trimmer < -1e-9 * most_farads:
        raise CannotCoverError
    trimmer = max(trimmer, 0.0)
    return SignalCircuit(1 / ((2 * math.pi * low_hertz) ** 2 * (most_farads + trimmer)), trimmer)


def oscillator_through(points: AlignedAt, intermediate_hertz: float, signal: SignalCircuit) -> OscillatorCircuit:
    """The oscillator that is in step at three frequencies, exactly.

    With ``y = 1/(2 pi (f + fIF))^2`` its resonance is ``y (C + Ct + Cp) = L Cp (C + Ct)``, which is linear in
    ``A = L Cp``, ``u = Ct + Cp`` and ``v = A Ct``. Raises NoPadderError where one of them would not be above 0.
    """
    gang = [signal.gang_at(hertz) for hertz in points]
    y = [1 / (2 * math.pi * (hertz + intermediate_hertz)) ** 2 for hertz in points]
    (c1, c2), (y1, y2), (p1, p2) = (
        (values[1] - values[0], values[2] - values[0])
        for values in (gang, y, [a * b for a, b in zip(y, gang, strict=True)])
    )
    determinant = c2 * y1 - c1 * y2
    if determinant == 0:
        raise NoPadderError("padder")
    a, u = (p2 * y1 - p1 * y2) / determinant, (c1 * p2 - c2 * p1) / determinant
    v = y[0] * gang[0] - a * gang[0] + u * y[0]
    if a <= 0:
        raise NoPadderError("coil")
    trimmer = v / a
    padder = u - trimmer
    if padder <= 0 or trimmer <= 0:
        raise NoPadderError("padder" if padder <= 0 else "oscillator trimmer")
    return OscillatorCircuit(a / padder, padder, trimmer)


def error(hertz: float, intermediate_hertz: float, signal: SignalCircuit, oscillator: OscillatorCircuit) -> float:
    """How far the oscillator is above where it should be, with the gang where the signal circuit is on ``hertz``."""
    return oscillator.hertz(signal.gang_at(hertz)) - intermediate_hertz - hertz


def spread_points(low_hertz: float, high_hertz: float) -> AlignedAt:
    """The middle of a band and 0.866 of its half to either side: the zeros of Chebyshev's polynomial of degree 3."""
    middle, half = (low_hertz + high_hertz) / 2, (high_hertz - low_hertz) / 2
    aside = half * math.cos(math.pi / 6)
    return middle - aside, middle, middle + aside


def least_error_points(
    low_hertz: float, high_hertz: float, intermediate_hertz: float, signal: SignalCircuit
) -> AlignedAt:
    """The points whose greatest error over the band is least, to some ten-thousandths of the band.

    The simplex method of Nelder and Mead (Computer Journal 7, 1965) from ``spread_points``. They are rounded to a step
    of 1, 10, 100 … Hz, so that they are the same on every machine. Raises NoPadderError as ``oscillator_through`` does.
    """
    from scipy.optimize import minimize

    start = spread_points(low_hertz, high_hertz)
    width = high_hertz - low_hertz
    oscillator_through(start, intermediate_hertz, signal)

    def greatest(at: object) -> float:
        first, second, third = (low_hertz + width * float(share) for share in at)  # type: ignore[attr-defined]
        if not low_hertz <= first < second < third <= high_hertz:
            return math.inf
        try:
            oscillator = oscillator_through((first, second, third), intermediate_hertz, signal)
        except NoPadderError:
            return math.inf
        return max(
            abs(error(hertz, intermediate_hertz, signal, oscillator))
            for hertz in dial(low_hertz, high_hertz, _STEPS // 4)
        )

    shares = [(hertz - low_hertz) / width for hertz in start]
    found = minimize(greatest, shares, method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-3, "maxfev": 1500})
    step = 10 ** (math.floor(math.log10(width)) - 4)
    first, second, third = (round((low_hertz + width * float(share)) / step) * step for share in found.x)
    return float(first), float(second), float(third)


def dial(low_hertz: float, high_hertz: float, steps: int = _STEPS) -> Iterator[float]:
    """Frequencies from one end of a band to the other, evenly spread, both ends with them."""
    return (low_hertz + (high_hertz - low_hertz) * step / steps for step in range(steps + 1))


def half_width(hertz: float, q: float) -> float:
    """From the middle of a tuned circuit's response to where it is 3 dB down: ``f/(2 Q)``."""
    return hertz / (2 * q)


def loss(hertz: float, off_hertz: float, q: float) -> float:
    """Decibels that a tuned circuit ``off_hertz`` beside a signal loses of it: ``10 log (1 + (off/half width)^2)``."""
    return 10 * math.log10(1 + (off_hertz / half_width(hertz, q)) ** 2)


def image(hertz: float, intermediate_hertz: float) -> float:
    """The frequency that makes the same intermediate frequency from the oscillator's other side."""
    return hertz + 2 * intermediate_hertz


def images_in_band(low_hertz: float, high_hertz: float, intermediate_hertz: float) -> tuple[float, float] | None:
    """Where on the dial the image is a frequency of the same band; None where it is nowhere."""
    last = high_hertz - 2 * intermediate_hertz
    return (low_hertz, last) if last >= low_hertz else None


def whistles(low_hertz: float, high_hertz: float, intermediate_hertz: float) -> tuple[float, ...]:
    """Where in the band a station beats with a harmonic of the intermediate frequency: at 2 and 3 times it."""
    return tuple(n * intermediate_hertz for n in (2, 3) if low_hertz <= n * intermediate_hertz <= high_hertz)


def image_rejection(hertz: float, intermediate_hertz: float, q: float) -> float:
    """Decibels by which one tuned circuit holds the image back: ``10 log (1 + (Q (fi/f - f/fi))^2)``."""
    other = image(hertz, intermediate_hertz)
    return 10 * math.log10(1 + (q * (other / hertz - hertz / other)) ** 2)
