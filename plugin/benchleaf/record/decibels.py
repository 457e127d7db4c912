"""Two readings of one thing compared: their ratio, and in decibels where the unit allows."""

from __future__ import annotations

import math

from ..words.decimal_sign import with_decimal_sign
from .quantities import Quantity

_DECIBELS = {"V": 20.0, "V/m": 20.0, "A": 20.0, "W": 10.0}
"""Factor before the logarithm: 20 for field quantities, 10 for powers (ISO 80000-3)."""

_COMPARABLE = ("exact", "approx", "tolerance")


def ratio(before: Quantity | None, after: Quantity | None) -> float | None:
    """``after`` over ``before``; None unless both are plain values above zero in one unit and of one mark."""
    if before is None or after is None or before.unit != after.unit or before.mark != after.mark:
        return None
    if before.qualifier not in _COMPARABLE or after.qualifier not in _COMPARABLE or before.unit in ("K", "dB"):
        return None
    if before.si is None or after.si is None or not (before.si > 0 and after.si > 0):
        return None
    found = after.si / before.si
    return found if math.isfinite(found) and found > 0 else None


def decibels(before: Quantity | None, after: Quantity | None) -> float | None:
    """20 log of the ratio for volts, volts a metre and amperes, 10 log for watts; None for other units.

    Levels in decibels are told by how far they lie apart.
    """
    if before is not None and after is not None and before.unit == after.unit == "dB":
        plain = before.qualifier in _COMPARABLE and after.qualifier in _COMPARABLE
        return after.si - before.si if plain and before.si is not None and after.si is not None else None
    found = ratio(before, after)
    if found is None or before is None or before.unit not in _DECIBELS:
        return None
    return _DECIBELS[before.unit] * math.log10(found)


def say_decibels(value: float, *, signed: bool = False) -> str:
    """Decibels as a page says them, one decimal and the unit behind a narrow no-break space; ``signed`` puts a plus."""
    digits = f"{value:+.1f}" if signed else f"{value:.1f}"
    if float(digits) == 0:
        digits = digits.lstrip("+-")
    return f"{with_decimal_sign(digits)}\u202fdB".replace("-", "\u2212")
