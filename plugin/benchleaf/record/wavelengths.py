"""Wavelengths as the frequencies they are."""

from __future__ import annotations

from .quantities import Quantity

SPEED_OF_LIGHT = 299_792_458.0
"""Metres a second in vacuum, exact (SI)."""


def hertz_of(frequency: Quantity | None, wavelength: Quantity | None) -> float | None:
    """A frequency, or that of a wavelength where only it is written; None where neither is above zero."""
    if frequency is not None:
        return frequency.si if frequency.si and frequency.si > 0 else None
    return SPEED_OF_LIGHT / wavelength.si if wavelength and wavelength.si and wavelength.si > 0 else None
