"""What a meter reads at a node of some source resistance, and what was there before it was connected."""

from __future__ import annotations

import math

__all__ = ["in_parallel", "meter_ohms", "true_volts"]


def in_parallel(*ohms: float) -> float:
    """Ohms of resistances in parallel; infinity is open, 0 is a short."""
    if not ohms or any(not r >= 0 for r in ohms):
        raise ValueError("Resistances in parallel must be given, and be 0 or more.")
    if 0 in ohms:
        return 0.0
    finite = [r for r in ohms if not math.isinf(r)]
    if len(finite) < 2:
        return finite[0] if finite else math.inf
    return 1 / math.fsum(1 / r for r in finite)


def meter_ohms(ohms_per_volt: float, range_volts: float) -> float:
    """Input resistance in ohm of a moving-coil meter: sensitivity in ohm per volt times the range in volts."""
    if not (ohms_per_volt > 0 and range_volts > 0):
        raise ValueError("Sensitivity and range must be above zero.")
    return ohms_per_volt * range_volts


def true_volts(reading: float, source_ohms: float, input_ohms: float) -> float:
    """Volts at a node behind ``source_ohms`` without the meter, from what one of ``input_ohms`` shows there."""
    if not (0 <= source_ohms < math.inf and input_ohms > 0):
        raise ValueError("Source resistance must be 0 or more, the meter's resistance above zero.")
    return reading * (1 + source_ohms / input_ohms)
