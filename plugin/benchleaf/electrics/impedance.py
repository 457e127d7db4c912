"""Reactances, resonances and the impedance of real capacitors; hertz, farad, henry and ohm throughout."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = [
    "LEAD_HENRIES_PER_METRE",
    "RealCapacitor",
    "antiresonance",
    "capacitive_reactance",
    "corner_frequency",
    "frequency_for_reactance",
    "grid_offset_volts",
    "inductive_reactance",
    "leakage_resistance",
    "pair_impedance",
    "resonance",
]


def capacitive_reactance(farads: float, frequency_hz: float) -> float:
    """Magnitude in ohm of a capacitor's reactance, 1/(2 pi f C); infinite at zero frequency.

    Takes farad and hertz; raises ValueError below zero. As pint works it out for 0.05 uF on 60 Hz:

    >>> round(capacitive_reactance(0.05e-6, 60), 1)
    53051.6
    """
    product = 2 * math.pi * _at_least_zero(frequency_hz) * _at_least_zero(farads)
    return 1 / product if product else math.inf


def inductive_reactance(henries: float, frequency_hz: float) -> float:
    """Reactance in ohm of an inductor, 2 pi f L."""
    return 2 * math.pi * _at_least_zero(frequency_hz) * _at_least_zero(henries)


def frequency_for_reactance(farads: float, ohms: float) -> float:
    """Hertz at which a capacitor of ``farads`` has a reactance of ``ohms``; raises ValueError for zero or less.

    Grob, Basic Electronics, 11th edition, example 17.4 prints 159 Hz for 10 uF and 100 ohm:

    >>> round(frequency_for_reactance(10e-6, 100))
    159
    """
    return 1 / (2 * math.pi * _above_zero(farads) * _above_zero(ohms))


def corner_frequency(ohms: float, farads: float) -> float:
    """Hertz at which R and C are equal in size: 1/(2 pi R C), the 3 dB point of a coupling or bypass."""
    return frequency_for_reactance(farads, ohms)


def resonance(henries: float, farads: float) -> float:
    """Hertz of the resonance of L and C, 1/(2 pi sqrt(LC)); takes henry and farad, raises ValueError for zero or less.

    T. Kuphaldt, Lessons in Electric Circuits, AC chapter 6, prints 159.155 Hz for 100 mH and 10 uF:

    >>> round(resonance(0.1, 10e-6), 3)
    159.155
    """
    return 1 / (2 * math.pi * math.sqrt(_above_zero(henries) * _above_zero(farads)))


LEAD_HENRIES_PER_METRE = 1e-6
"""A straight wire, as of a lead, has about 1 nH a millimetre (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class RealCapacitor:
    """A capacitor with its series resistance (``esr_ohms``) and lead inductance (``esl_henries``)."""

    farads: float
    esr_ohms: float = 0.0
    esl_henries: float = 0.0

    def __post_init__(self) -> None:
        _above_zero(self.farads)
        _at_least_zero(self.esr_ohms)
        _at_least_zero(self.esl_henries)

    def impedance(self, frequency_hz: float) -> complex:
        """Complex ohms at a frequency above zero."""
        omega = 2 * math.pi * _above_zero(frequency_hz)
        return complex(self.esr_ohms, omega * self.esl_henries - 1 / (omega * self.farads))

    def self_resonance(self) -> float | None:
        """Hertz where only the series resistance is left; ``None`` without inductance."""
        return resonance(self.esl_henries, self.farads) if self.esl_henries else None


def pair_impedance(one: RealCapacitor, other: RealCapacitor, frequency_hz: float) -> complex:
    """Complex ohms of two capacitors in parallel; infinite at their antiresonance if neither has any loss."""
    za, zb = one.impedance(frequency_hz), other.impedance(frequency_hz)
    if za == 0 or zb == 0:
        return 0j
    return za * zb / (za + zb) if za + zb else complex(math.inf, 0.0)


def antiresonance(one: RealCapacitor, other: RealCapacitor) -> float | None:
    """Hertz where the two loops resonate against each other and the pair's impedance rises, losses neglected.

    1/(2 pi sqrt((L1 + L2) C1 C2/(C1 + C2))); ``None`` without inductance. With losses the peak lies slightly lower.
    """
    henries = one.esl_henries + other.esl_henries
    series_farads = one.farads * other.farads / (one.farads + other.farads)
    return resonance(henries, series_farads) if henries else None


def leakage_resistance(volts: float, amps: float) -> float:
    """Insulation resistance in ohm from a leakage of ``amps`` at ``volts``; infinite if nothing leaks."""
    _at_least_zero(amps)
    return _at_least_zero(volts) / amps if amps else math.inf


def grid_offset_volts(plate_volts: float, leakage_ohms: float, grid_leak_ohms: float) -> float:
    """Volts DC that a leaking coupling capacitor puts on the next grid: the divider of leakage and grid leak.

    The grid is taken as drawing no current, so the true figure is lower once the grid goes positive.
    """
    _at_least_zero(leakage_ohms)
    _at_least_zero(grid_leak_ohms)
    if math.isinf(leakage_ohms):
        return 0.0
    return plate_volts * grid_leak_ohms / (leakage_ohms + grid_leak_ohms)


def _above_zero(value: float) -> float:
    if not 0 < value < math.inf:
        raise ValueError(f"A value above zero is needed: {value}")
    return value


def _at_least_zero(value: float) -> float:
    if not value >= 0:
        raise ValueError(f"A value of 0 or more is needed: {value}")
    return value
