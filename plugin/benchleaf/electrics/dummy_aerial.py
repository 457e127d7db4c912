"""What stands between a generator and the aerial socket in place of an aerial."""

from __future__ import annotations

import math

__all__ = ["CAPACITOR_UP_TO_HERTZ", "impedance", "usual"]

CAPACITOR_UP_TO_HERTZ = 1.7e6
"""Up to here the usual aerial is a capacitance of 200 pF, above it 400 ohms."""
_SERIES_FARADS, _HENRIES, _SHUNT_FARADS, _SHUNT_OHMS = 200e-12, 20e-6, 400e-12, 400.0
USUAL_FARADS, USUAL_OHMS = 200e-12, 400.0


def impedance(hertz: float) -> complex:
    """Of the standard network for all waves: 200 pF then 20 uH, across which lie 400 pF and 400 ohms in series.

    The Institute of Radio Engineers' standard, as described in rec.antiques.radio+phono, 5 September 2006.

    >>> round(abs(impedance(10e6)))
    385
    """
    w = 2 * math.pi * hertz
    coil = 1j * w * _HENRIES
    shunt = _SHUNT_OHMS + 1 / (1j * w * _SHUNT_FARADS)
    return 1 / (1j * w * _SERIES_FARADS) + coil * shunt / (coil + shunt)


def usual(hertz: float) -> str:
    """``capacitor`` or ``resistor``: the one part that stands for it at a frequency."""
    return "capacitor" if hertz <= CAPACITOR_UP_TO_HERTZ else "resistor"
