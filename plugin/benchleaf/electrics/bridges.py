"""Heaters of a string with something across them: a shunt, a dial lamp, or both."""

from __future__ import annotations

import math
from dataclasses import dataclass

from benchleaf.electrics.heaters import HeaterElement, root

__all__ = ["Bridged", "BridgedRunning", "shunt_for"]


@dataclass(frozen=True, slots=True)
class BridgedRunning:
    """How bridged heaters run: ``heater_amps`` through them, ``heater_volts`` in order, amperes in lamp and shunt."""

    heater_amps: float
    heater_volts: tuple[float, ...]
    lamp_amps: float
    shunt_amps: float


@dataclass(frozen=True, slots=True)
class Bridged:
    """``heaters`` in series with each other, and across all of them a resistor of ``ohms``, a ``lamp``, or both."""

    heaters: tuple[HeaterElement, ...]
    ohms: float | None = None
    lamp: HeaterElement | None = None

    def __post_init__(self) -> None:
        if not self.heaters or (self.ohms is not None and not self.ohms > 0):
            raise ValueError(f"A bridge needs a heater, and a resistance above zero: {self}")

    @property
    def rated(self) -> HeaterElement:
        """Rated volts of all, at the highest rated current among them."""
        volts = math.fsum(h.volts for h in self.heaters)
        return HeaterElement(volts, max(h.amps for h in self.heaters))

    def volts_at(self, amps: float) -> float:
        """Volts across all when ``amps`` flow through heaters, lamp and shunt together."""
        return math.fsum(self.running(amps).heater_volts)

    def running(self, amps: float) -> BridgedRunning:
        """Currents and volts when ``amps`` flow through heaters, lamp and shunt together."""

        def excess(inside: float) -> float:
            return inside + sum(self._beside(math.fsum(h.volts_at(inside) for h in self.heaters))) - amps

        inside = root(excess, max(h.amps for h in self.heaters)) if amps else 0.0
        volts = tuple(h.volts_at(inside) for h in self.heaters)
        return BridgedRunning(inside, volts, *self._beside(math.fsum(volts)))

    def _beside(self, volts: float) -> tuple[float, float]:
        lamp = self.lamp.amps_at(volts) if self.lamp else 0.0
        return lamp, volts / self.ohms if self.ohms else 0.0


def shunt_for(volts: float, amps: float, string_amps: float) -> float | None:
    """The resistor in ohm across a heater of ``volts`` at ``amps`` that takes the rest of a string of ``string_amps``.

    R = V/(Istring - I). ``None`` where the heater asks for all of the string's current or more.
    """
    return volts / (string_amps - amps) if string_amps > amps * (1 + 1e-9) else None
