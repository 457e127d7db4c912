"""What a capacitor across the line holds after the plug is pulled, and how soon a resistor takes it away."""

from __future__ import annotations

import math

__all__ = [
    "DISCHARGED_VOLTS",
    "FREE_FARADS",
    "LIMIT_SOURCE",
    "MOST_TIME_CONSTANT",
    "most_ohms",
    "seconds_to",
    "volts_left",
]

MOST_TIME_CONSTANT = 1.0
"""Seconds that ohms times farads may come to behind a plug that anybody may pull, so that 37 % is left after one."""
FREE_FARADS = 0.1e-6
"""Up to this capacitance the same clause asks for no discharge."""
DISCHARGED_VOLTS = 60.0
"""Direct volts below which IEC 62368-1 (from memory) asks nothing, two seconds after the plug is pulled."""
LIMIT_SOURCE = (
    "IEC 60950-1, clause 2.1.1.7, as quoted on a compliance forum (bbs.angui.org, thread 124570); the standard itself "
    "was not opened"
)
"""Where the time constant and the capacitance are from."""


def volts_left(volts: float, ohms: float, farads: float, seconds: float) -> float:
    """Volts on ``farads`` that held ``volts``, ``seconds`` after ``ohms`` began to discharge them: V exp(-t/RC)."""
    return volts * math.exp(-seconds / (ohms * farads))


def seconds_to(limit: float, volts: float, ohms: float, farads: float) -> float:
    """Seconds until ``limit`` volts are left of ``volts``: RC ln(V/limit); 0 where no more are there."""
    return ohms * farads * math.log(volts / limit) if volts > limit else 0.0


def most_ohms(farads: float) -> float:
    """The largest resistor across ``farads`` that keeps the time constant: ``MOST_TIME_CONSTANT``."""
    return MOST_TIME_CONSTANT / farads
