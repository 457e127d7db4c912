"""From a value to the markings a part of that value wears: bands, body-end-dot, mica dots, digits, letters.

Colours are given by name, in the order in which they are read. A value that a code cannot hold gives None.
"""

from __future__ import annotations

import math

from .colours import BY_DIGIT, COLOURS, NONE

__all__ = ["bands_of", "body_end_dot_of", "digits_of", "mica_dots_of", "rkm_of"]

_TOLERANCES = {
    0.05: "gold",
    0.10: "silver",
    0.20: NONE,
    0.01: "brown",
    0.02: "red",
    0.005: "green",
    0.0025: "blue",
    0.001: "violet",
}
_MICA = {0.20: "black", 0.02: "red", 0.03: "orange", 0.05: "gold", 0.10: "silver", 0.01: "brown"}
_LETTERS = {0.01: "F", 0.02: "G", 0.03: "H", 0.05: "J", 0.10: "K", 0.20: "M"}
_MULTIPLIERS = {c.exponent: c.name for c in COLOURS.values() if c.exponent is not None}


def bands_of(ohms: float, tolerance: float | None = None) -> tuple[str, ...] | None:
    """Four bands, or five for three figures or a tolerance of 2 % and closer; three for ±20 % (IEC 60062)."""
    name = _TOLERANCES.get(round(tolerance, 6)) if tolerance else NONE
    if name is None:
        return None
    fine = tolerance is not None and tolerance < 0.025
    for figures in (3,) if fine else (2, 3):
        split = _figures(ohms, figures)
        if split and split[1] in _MULTIPLIERS:
            digits = tuple(BY_DIGIT[int(d)].name for d in split[0])
            last = () if name == NONE else (name,)
            return (*digits, _MULTIPLIERS[split[1]], *last) if figures == 2 or last else None
    return None


def body_end_dot_of(ohms: float, tolerance: float | None = None) -> tuple[str, str, str, str] | None:
    """Body, end, dot, other end of an old resistor (RMA)."""
    split = _figures(ohms, 2)
    if not split or not 0 <= split[1] <= 9:
        return None
    body, end = (BY_DIGIT[int(d)].name for d in split[0])
    other = _TOLERANCES.get(round(tolerance, 6), NONE) if tolerance else NONE
    return body, end, BY_DIGIT[split[1]].name, other if other in ("gold", "silver") else NONE


def mica_dots_of(farads: float, tolerance: float | None = None) -> tuple[tuple[str, ...], tuple[str, ...]] | None:
    """Six dots of a mica capacitor: JAN (black, characteristic C) and RMA (500 V); upper row, then lower row."""
    picofarads = farads * 1e12
    two, three = _figures(picofarads, 2), _figures(picofarads, 3)
    name = _MICA.get(round(tolerance, 6)) if tolerance else "black"
    if not two or not three or name is None or two[1] not in range(-1, 10) or three[1] not in range(-2, 10):
        return None
    jan = ("black", *(BY_DIGIT[int(d)].name for d in two[0]), "red", name, _MULTIPLIERS[two[1]])
    rma = (*(BY_DIGIT[int(d)].name for d in three[0]), "green", name, _MULTIPLIERS[three[1]])
    return jan, rma


def digits_of(farads: float, tolerance: float | None = None) -> str | None:
    """Two digits, the number of noughts in picofarads, and the letter of the tolerance: 47 nF 5 % is ``473J``."""
    split = _figures(farads * 1e12, 2)
    if not split or not -1 <= split[1] <= 7:
        return None
    letter = _LETTERS.get(round(tolerance, 6), "") if tolerance else ""
    return f"{split[0]}{9 if split[1] == -1 else split[1]}{letter}"


def rkm_of(value: float, unit: str) -> str | None:
    """A letter in place of the decimal point (IEC 60062): 4.7 kohm is ``4K7``, 0.47 uF is ``470n``."""
    signs = {"ohm": ((1e6, "M"), (1e3, "K"), (1.0, "R")), "F": ((1e-6, "u"), (1e-9, "n"), (1e-12, "p"))}[unit]
    if not 0 < value < math.inf:
        return None
    factor, sign = next(((f, s) for f, s in signs if value >= f * (1 - 1e-12)), signs[-1])
    text = f"{value / factor:.3g}"
    if "e" in text:
        return None
    whole, _, part = text.partition(".")
    return f"{'' if whole == '0' and part else whole}{sign}{part}"


def _figures(value: float, count: int) -> tuple[str, int] | None:
    """The first ``count`` digits of a value that has no more, and the power of ten behind them."""
    if not 0 < value < math.inf:
        return None
    exponent = math.floor(math.log10(value) + 1e-12) - count + 1
    scaled = value / 10.0**exponent
    if abs(scaled - round(scaled)) > 1e-6 * scaled:
        return None
    digits = str(round(scaled))
    return (digits, exponent) if len(digits) == count else None
