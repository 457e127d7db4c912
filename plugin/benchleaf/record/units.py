"""SI values said in the trade's own size: 470 pF, 10 nF, 0.47 µF, 22 kΩ, 12.6 V."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from decimal import ROUND_HALF_UP, Context, Decimal
from functools import lru_cache

from ..words.decimal_sign import with_decimal_sign
from .kinds import BY_UNIT, UNITS, Unit

NOTHING = "–"
"""What stands for a value that is not known."""

BLANK = "\u202f"
_MINUS = "\u2212"


_MAY_BE_THOUSANDS = re.compile(r"-?[1-9][0-9]{0,2}\.[0-9]{3}")
_DECIMALS_BEYOND = 2
_EVERY_FLOAT = Context(prec=700)


def say(value: float | None, unit: str, *, digits: int | None = None) -> str:
    """A value in SI as a page says it, ``digits`` figures long at most, with its unit behind a narrow no-break space.

    Without ``digits`` it is three figures, four for a frequency. ``unit`` is the SI unit as a Quantity has it.
    Capacitance is said in pF below 1 nF, in nF below 0.1 µF and in µF from there; frequency in kHz below 3 MHz, the end
    of the band that holds the medium waves. Zeros at the end of the decimals are left out, and figures before the
    decimal point are never rounded away: 10 nF, 0.95 V, 1605 kHz. A turns ratio below one is said the other way round:
    1:3. No power of ten is ever written. None and what is no finite number give ``NOTHING``.
    """
    if value is None or not math.isfinite(value):
        return NOTHING
    if BY_UNIT[unit].of_two_numbers:
        return _ratio(value, _figures(unit, digits)).replace("-", _MINUS)
    return _joined(*_digits_and_symbol(value, unit, digits))


@lru_cache(maxsize=4096)
def _digits_and_symbol(value: float, unit: str, digits: int | None) -> tuple[str, str]:
    """What ``say`` puts together. The pages of a set say the same values over and over."""
    size = _size(value, unit, digits)
    number = _in_size(value, size)
    return _trimmed(_rounded(number, _decimals(number, _figures(unit, digits)))), size.symbol


def say_column(values: Iterable[float | None], unit: str, *, digits: int | None = None) -> list[str]:
    """Values as ``say`` has them, but all in one size with the same number of decimals, so that their points line up.

    The size is that of the largest value, which gets two decimals more than it needs at most; the smallest keeps one
    figure.
    """
    listed = list(values)
    known = [value for value in listed if value is not None and math.isfinite(value)]
    if not known:
        return [NOTHING for _ in listed]
    size = _size(max(known, key=abs), unit, digits)
    numbers = {value: _in_size(value, size) for value in known}
    figures = _figures(unit, digits)
    wanted = max(_needed(number, figures) for number in numbers.values())
    most = _decimals(max(numbers.values(), key=abs), figures) + _DECIMALS_BEYOND
    decimals = min(wanted, max(most, *(_decimals(number, 1) for number in numbers.values())))
    return [
        NOTHING if value not in numbers else _joined(_rounded(numbers[value], decimals), size.symbol)
        for value in listed
    ]


def plain(value: float | None, unit: str, *, digits: int | None = None) -> str:
    """A value as ``say`` has it, in ASCII that ``read_quantity`` reads again: ``10 nF``, ``0.1 uF``, ``2.2 megohm``.

    Nothing at all for None, so that a cell of a table stays empty.
    """
    if value is None or not math.isfinite(value):
        return ""
    if BY_UNIT[unit].of_two_numbers:
        return _ratio(value, _figures(unit, digits))
    size = _size(value, unit, digits)
    number = _in_size(value, size)
    text = _trimmed(_rounded(number, _decimals(number, _figures(unit, digits))))
    # Three decimals behind a figure could be thousands to a reader; four cannot.
    if _MAY_BE_THOUSANDS.fullmatch(text):
        text += "0"
    return f"{with_decimal_sign(text)} {size.plain}"


def _in_size(value: float, size: Unit) -> Decimal:
    """The number that stands before a unit for a value in SI."""
    return _decimal(value) / size.factor - (size.shift or 0)


def _decimal(value: float) -> Decimal:
    """A float by its fifteen figures that mean something."""
    return Decimal(f"{value:.15g}")


def _figures(unit: str, digits: int | None) -> int:
    if digits is None:
        return BY_UNIT[unit].figures
    if digits < 1:
        raise ValueError(f"{digits} figures: at least one is needed")
    return digits


def _size(value: float, unit: str, digits: int | None) -> Unit:
    """The size for a value, as it stands after rounding: 999.9 pF is said as 1 nF."""
    kind = BY_UNIT[unit]
    if value == 0 and kind.at_zero:
        return UNITS[kind.at_zero]
    rounded = abs(float(f"{value:.{_figures(unit, digits) - 1}e}"))
    return next((size for size in reversed(kind.sizes) if rounded >= size.said_from), kind.sizes[0])


def _decimals(number: Decimal, figures: int) -> int:
    """How many decimals show a number with so many figures."""
    if number == 0:
        return 0
    exponent = Decimal(f"{number:.{figures - 1}e}").adjusted()
    return max(0, figures - 1 - exponent)


def _needed(number: Decimal, figures: int) -> int:
    """How many decimals a number cannot do without: those of its figures, zeros at the end left out."""
    return len(_trimmed(_rounded(number, _decimals(number, figures))).partition(".")[2])


def _rounded(number: Decimal, decimals: int) -> str:
    """A number in digits, half rounded away from zero; nothing is ever minus zero."""
    rounded = number.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_UP, context=_EVERY_FLOAT)
    return f"{abs(rounded) if rounded == 0 else rounded:f}"


def _ratio(value: float, figures: int) -> str:
    """A ratio with its larger number as written and 1 for the other: 45:1, 1:3."""
    number = _decimal(value)
    turned = 0 < number < 1
    number = 1 / number if turned else number
    text = _trimmed(_rounded(number, _decimals(number, figures)))
    text = with_decimal_sign(text)
    return f"1:{text}" if turned and text != "1" else f"{text}:1"


def _trimmed(digits: str) -> str:
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def _joined(digits: str, symbol: str) -> str:
    blank = "" if symbol.startswith(":") else BLANK
    return f"{with_decimal_sign(digits).replace('-', _MINUS)}{blank}{symbol}"
