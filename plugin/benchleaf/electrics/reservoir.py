"""The mean current of a rectifier into a smooth reservoir: the supply as an element without memory."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Charging"]


@dataclass(frozen=True, slots=True)
class Charging:
    """What charges a reservoir: ``paths`` 1 half-wave or 2 full-wave, the peak of one side in volts, ohms in series.

    ``perveance`` K of one path in A/V^1.5, or None for a dry rectifier of constant ``drop_volts``. ``table`` holds
    pairs of volts and amperes, volts rising, and stands in place of all else: what the time domain found for a
    reservoir that is not smooth.
    """

    paths: int
    peak_volts: float
    ohms: float
    perveance: float | None = None
    drop_volts: float = 0.0
    table: tuple[tuple[float, float], ...] = ()
