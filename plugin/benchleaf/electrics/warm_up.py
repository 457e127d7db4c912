"""From cold to hot: a heater string's current and each heater's share after switching on. An approximation.

Model: the wire's resistance stands for its temperature. What it gives off goes as resistance to the power
(1 + n)/(1 - n), n being the exponent of the heater's law: for n = 0.6 that is the fourth power, as radiation from a
wire whose resistance is proportional to temperature, and the string ends exactly where the law puts it. Cathode sleeve
and wire are one mass.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from benchleaf.electrics.heaters import COLD_INRUSH_RATIO, HeaterElement

from .copper import ZERO_CELSIUS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = [
    "LAMP_COLD_RATIO",
    "LAMP_SECONDS",
    "WARM_UP_RANGE_SECONDS",
    "WARM_UP_SECONDS",
    "NtcResistor",
    "WarmUp",
    "Warming",
    "first_share",
    "warm_up",
]

#: Warm-up time of a series heater under the test for controlled types: four times the rated volts through three times
#: the hot resistance, until the heater has 80 % of its volts. 11 s: from memory.
WARM_UP_SECONDS = 11.0

#: Shortest and longest warm-up time in that test taken for heaters of receiving tubes, which were not controlled:
#: from memory. Times are said as a range between the two.
WARM_UP_RANGE_SECONDS = (8.0, 20.0)

#: Hot over cold resistance of a dial lamp. Common practice, no source.
LAMP_COLD_RATIO = 10.0

#: The warm-up time for a dial lamp's thin wire. Common practice, no source.
LAMP_SECONDS = 0.15

_ROOM, _HOT = 25 + ZERO_CELSIUS, 250 + ZERO_CELSIUS


@dataclass(frozen=True, slots=True)
class Warming:
    """A heater with the ratio of its hot to its cold resistance, its warm-up time in seconds, and a shunt across it."""

    heater: HeaterElement
    cold_ratio: float = COLD_INRUSH_RATIO[1]
    seconds: float = WARM_UP_SECONDS
    shunt_ohms: float | None = None

    @property
    def hot_ohms(self) -> float:
        """Resistance at the rating."""
        return self.heater.volts / self.heater.amps

    @property
    def loss_exponent(self) -> float:
        """Power given off goes as resistance to this power."""
        return (1 + self.heater.exponent) / (1 - self.heater.exponent)

    def ohms_at(self, ratio: float) -> float:
        """Resistance of heater and shunt together, the heater at ``ratio`` of its hot resistance."""
        own = self.hot_ohms * ratio
        return own if self.shunt_ohms is None else own * self.shunt_ohms / (own + self.shunt_ohms)

    def heat_capacity(self) -> float:
        """Seconds by which rated watts are multiplied to have joules for one hot resistance; from the warm-up test."""
        return self.seconds / _slowness(self.loss_exponent, self.cold_ratio)


@lru_cache(maxsize=256)
def _slowness(loss_exponent: float, cold_ratio: float) -> float:
    """The integral of the time from cold to three quarters of the hot resistance, in units of the heat capacity."""
    from scipy.integrate import quad

    def slowness(ratio: float) -> float:
        return float(1 / (16 * ratio / (3 + ratio) ** 2 - ratio**loss_exponent))

    return float(quad(slowness, 1 / cold_ratio, 0.75)[0])


@dataclass(frozen=True, slots=True)
class NtcResistor:
    """An NTC resistor: ``cold_ohms`` at 25 degrees, ``hot_ohms`` at 250 degrees, which ``hot_amps`` keep up.

    5500 and 40 ohm at those temperatures: r-type.org, Thermistors and Heater Chains. ``seconds`` is its thermal time
    constant (common practice, no source).
    """

    cold_ohms: float
    hot_ohms: float
    hot_amps: float
    seconds: float = 40.0

    def __post_init__(self) -> None:
        if not (0 < self.hot_ohms < self.cold_ohms < math.inf and self.hot_amps > 0 and self.seconds > 0):
            raise ValueError(f"A thermistor is lower hot than cold, and both above zero: {self}")

    def ohms_at(self, kelvin: float) -> float:
        """Resistance at a temperature, by R = R25 exp(B (1/T - 1/T25))."""
        beta = math.log(self.cold_ohms / self.hot_ohms) / (1 / _ROOM - 1 / _HOT)
        return self.cold_ohms * math.exp(beta * (1 / kelvin - 1 / _ROOM))

    def heating(self, kelvin: float, amps: float) -> float:
        """Kelvin a second while ``amps`` flow at ``kelvin``."""
        loss = self.hot_amps**2 * self.hot_ohms / (_HOT - _ROOM)
        return (amps**2 * self.ohms_at(kelvin) - loss * (kelvin - _ROOM)) / (loss * self.seconds)


@dataclass(frozen=True, slots=True)
class WarmUp:
    """What follows switching on: ``amps`` RMS and each heater's ``volts`` RMS over ``seconds``."""

    seconds: tuple[float, ...]
    amps: tuple[float, ...]
    volts: tuple[tuple[float, ...], ...]

    @property
    def peak_amps(self) -> float:
        """The highest RMS current."""
        return max(self.amps)


def warm_up(
    heaters: Sequence[Warming],
    line_volts: float,
    ohms: float = 0.0,
    thermistor: NtcResistor | None = None,
    reactance_ohms: float = 0.0,
    seconds: float = 60.0,
    points: int = 121,
) -> WarmUp:
    """The string from cold at ``line_volts`` RMS (or DC), with ``ohms`` and a capacitor's ``reactance_ohms`` in series.

    The times run as the square, close together at the beginning. Raises ``ValueError`` without a heater.
    """
    if not heaters:
        raise ValueError("A string needs at least one heater.")
    from scipy.integrate import solve_ivp

    exponents = [h.loss_exponent for h in heaters]
    capacities = [h.heat_capacity() for h in heaters]

    rated = [h.heater.volts for h in heaters]

    def resistances(state: Sequence[float]) -> list[float]:
        return [h.ohms_at(ratio) for h, ratio in zip(heaters, state, strict=False)]

    def current(state: Sequence[float], of_heaters: Sequence[float]) -> float:
        total = ohms + sum(of_heaters)
        total += thermistor.ohms_at(state[-1]) if thermistor else 0.0
        return line_volts / math.hypot(total, reactance_ohms)

    def change(_: float, array: NDArray[np.float64]) -> list[float]:
        state = array.tolist()  # plain floats take a third of the time of numpy's
        of_heaters = resistances(state)
        amps = current(state, of_heaters)
        rates = [
            ((amps * own / volts) ** 2 / ratio - ratio**p) / c
            for own, volts, ratio, p, c in zip(of_heaters, rated, state, exponents, capacities, strict=False)
        ]
        return [*rates, thermistor.heating(state[-1], amps)] if thermistor else rates

    times = [seconds * (k / (points - 1)) ** 2 for k in range(points)]
    start = [1 / h.cold_ratio for h in heaters] + ([_ROOM] if thermistor else [])
    solved = solve_ivp(change, (0, seconds), start, method="LSODA", t_eval=times, rtol=1e-6, atol=1e-8)
    states = [[float(v) for v in column] for column in solved.y.T]
    amps = tuple(current(state, resistances(state)) for state in states)
    volts = tuple(tuple(a * h.ohms_at(s[k]) for a, s in zip(amps, states, strict=True)) for k, h in enumerate(heaters))
    return WarmUp(tuple(times), amps, volts)


def first_share(heaters: Sequence[HeaterElement], index: int, line_volts: float, ohms: float = 0.0) -> float:
    """Volts over rated volts of one heater at the moment of switching on, at the worst.

    Its own cold resistance is the highest of the published set, hot over :data:`COLD_INRUSH_RATIO` [0]; all others
    have the lowest.
    """
    low, high = COLD_INRUSH_RATIO
    own = heaters[index].volts / heaters[index].amps / low
    others = math.fsum(h.volts / h.amps for k, h in enumerate(heaters) if k != index) / high
    return line_volts * own / (own + others + ohms) / heaters[index].volts
