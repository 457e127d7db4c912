"""Rectifier, filter and what is found of them: the data of ``steady_state``, and the rules of thumb beside it.

Everything is in SI: volts, amperes, ohms, farads, henries, hertz, seconds. A tube obeys the three-halves law of space
charge, i = K v^1.5 (Child and Langmuir); a silicon diode is a constant drop. Each stage of the filter is a capacitor
with its series resistance and a load that draws a constant current from it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

__all__ = [
    "KINDS",
    "Filter",
    "FilterTap",
    "NoSteadyStateError",
    "Rectifier",
    "SteadyState",
    "Supply",
    "ripple_by_thumb",
    "root_mean_square",
]

KINDS = ("half-wave", "full-wave", "doubler", "cascade doubler")
"""A doubler charges two capacitors in turn; in a cascade doubler one capacitor stands in series with the line."""


@dataclass(frozen=True, slots=True)
class Rectifier:
    """One path of a rectifier. ``perveance`` is K in A/V^1.5 of a tube, None for a diode of constant ``drop_volts``."""

    perveance: float | None = None
    drop_volts: float = 0.0

    @classmethod
    def tube(cls, drop_volts: float, amps: float) -> Rectifier:
        """From one published point: ``drop_volts`` at ``amps``. Raises ValueError unless both are above zero."""
        if not (drop_volts > 0 and amps > 0):
            raise ValueError(f"a drop at a current is needed: {drop_volts} V, {amps} A")
        return cls(amps / drop_volts**1.5)

    def amps(self, volts: float, ohms: float) -> float:
        """Current driven by ``volts`` through the rectifier and ``ohms`` in series; never below zero."""
        return self.path(ohms)(volts)

    def path(self, ohms: float) -> Callable[[float], float]:
        """The same as a function of the volts alone, for where the resistance stays and many volts are asked."""
        drop, perveance = self.drop_volts, self.perveance

        def diode(volts: float) -> float:
            over = volts - drop
            return 0.0 if over <= 0 else over / ohms

        def tube(volts: float) -> float:
            over = volts - drop
            return 0.0 if over <= 0 else _tube_amps(over, ohms, perveance or 0.0)

        return diode if perveance is None else tube


def _tube_amps(volts: float, ohms: float, perveance: float) -> float:
    """Newton on the drop u: K u^1.5 R + u = V. Convex, so that it comes down from above without passing the root."""
    scale = perveance * ohms
    drop = min(volts, (volts / scale) ** (2 / 3)) if scale else volts
    for _ in range(20):
        root = math.sqrt(drop)
        step = (scale * drop * root + drop - volts) / (1.5 * scale * root + 1)
        drop -= step
        if abs(step) <= 1e-9 * volts:
            break
    return float(perveance * max(drop, 0.0) ** 1.5)


@dataclass(frozen=True, slots=True)
class Supply:
    """What feeds the rectifier: ``peak_volts`` of one side of the winding or of the line, and ``ohms`` in series.

    The wave is a sine, or a vibrator's square one that stands at its peak for ``square_duty`` of the time.
    ``return_ohms`` lie between the winding's other end and the bottom of the filter, with ``return_farads`` across
    them: what makes a set's back bias. A doubler has none.
    """

    kind: str
    peak_volts: float
    hertz: float
    ohms: float
    rectifier: Rectifier = Rectifier()
    square_duty: float | None = None
    return_ohms: float = 0.0
    return_farads: float = 0.0

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"no rectifier {self.kind!r}: {', '.join(KINDS)}")
        if not (self.peak_volts > 0 and self.hertz > 0 and self.ohms >= 0):
            raise ValueError("a supply needs volts and a frequency above zero, and no resistance below zero")
        if not (self.return_ohms >= 0 and self.return_farads >= 0) or (self.return_ohms and "doubler" in self.kind):
            raise ValueError("what lies in the return is not below zero, and a doubler has nothing there")
        if self.square_duty is not None and not 0 < self.square_duty <= 1:
            raise ValueError(f"a duty is above 0 and at most 1: {self.square_duty}")

    def volts(self, seconds: float) -> float:
        """The wave at a moment; it starts from zero and rises."""
        sine = math.sin(2 * math.pi * self.hertz * seconds)
        if self.square_duty is None:
            return self.peak_volts * sine
        idle = math.sin((1 - self.square_duty) * math.pi / 2)
        return math.copysign(self.peak_volts, sine) if abs(sine) > idle else 0.0


@dataclass(frozen=True, slots=True)
class FilterTap:
    """One capacitor of the filter with what draws from it.

    ``series_ohms`` (and ``series_henries``, a choke) lead to it from the one before. ``load_amps`` is drawn whatever
    the voltage. The first tap is the reservoir: nothing leads to it but the rectifier.
    """

    farads: float
    esr_ohms: float = 0.0
    load_amps: float = 0.0
    series_ohms: float = 0.0
    series_henries: float = 0.0


@dataclass(frozen=True, slots=True)
class Filter:
    """Reservoir first. ``input_farads`` is the series capacitor of a cascade doubler, else None."""

    taps: tuple[FilterTap, ...]
    input_farads: float | None = None


class NoSteadyStateError(ValueError):
    """A supply that does not come to a state that repeats itself, as where more is drawn than it can deliver."""


@dataclass(frozen=True, slots=True)
class SteadyState:
    """One period in the steady state.

    ``mean_volts`` and ``ripple_volts`` (peak to peak) hold a figure for each tap. ``peak_amps``, ``rms_amps`` and
    ``mean_amps`` are those of one path of the rectifier: one plate. ``seconds``, ``volts`` (by tap) and ``amps`` (what
    the supply delivers, with its sign) are the waveforms; ``start`` is the state they
    begin from.
    """

    mean_volts: tuple[float, ...]
    ripple_volts: tuple[float, ...]
    peak_amps: float
    rms_amps: float
    mean_amps: float
    capacitor_rms_amps: float
    seconds: tuple[float, ...]
    volts: tuple[tuple[float, ...], ...]
    amps: tuple[float, ...]
    start: tuple[float, ...] = ()


def ripple_by_thumb(amps: float, hertz: float, farads: float) -> float:
    """Peak-to-peak ripple in volts by the rule of thumb I/(fC); ``hertz`` is that of the ripple.

    It takes the capacitor as discharging for the whole period, and so is too high.
    """
    return amps / (hertz * farads)


def root_mean_square(values: Sequence[float]) -> float:
    """Of equally spaced samples."""
    return math.sqrt(sum(v * v for v in values) / len(values))
