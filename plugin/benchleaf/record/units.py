"""Units by pint, and SI values said in the trade's own size: 470 pF, 10 nF, 0.47 µF, 22 kΩ, 12.6 V.

pint sees the names of units only, never a writer's text.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from .unit_names import ASCII

if TYPE_CHECKING:
    from pint import UnitRegistry

NOTHING = "–"
"""What stands for a value that is not known."""

_BLANK = "\u202f"
_MINUS = "\u2212"


@lru_cache(maxsize=1)
def registry() -> UnitRegistry[Any]:
    """pint's registry with the units of ``units.txt`` and no others."""
    from pint import UnitRegistry

    definitions = files(__package__).joinpath("units.txt").read_text(encoding="utf-8")
    ureg: UnitRegistry[Any] = UnitRegistry(None)
    ureg.load_definitions(definitions.splitlines())
    return ureg


@dataclass(frozen=True, slots=True)
class _Size:
    """One size of a unit: used from ``least`` (in SI) upwards, pint's name, and how it is said."""

    least: float
    name: str
    symbol: str


_SIZES: dict[str, tuple[_Size, ...]] = {
    "F": (_Size(0, "picofarad", "pF"), _Size(1e-9, "nanofarad", "nF"), _Size(1e-7, "microfarad", "µF")),
    "H": (
        _Size(0, "nanohenry", "nH"),
        _Size(1e-6, "microhenry", "µH"),
        _Size(1e-3, "millihenry", "mH"),
        _Size(1, "henry", "H"),
    ),
    "ohm": (
        _Size(0, "milliohm", "mΩ"),
        _Size(0.1, "ohm", "Ω"),
        _Size(1e3, "kiloohm", "kΩ"),
        _Size(1e6, "megaohm", "MΩ"),
        _Size(1e9, "gigaohm", "GΩ"),
    ),
    "V": (
        _Size(0, "microvolt", "µV"),
        _Size(1e-3, "millivolt", "mV"),
        _Size(0.1, "volt", "V"),
        _Size(1e3, "kilovolt", "kV"),
    ),
    "A": (
        _Size(0, "nanoampere", "nA"),
        _Size(1e-7, "microampere", "µA"),
        _Size(1e-3, "milliampere", "mA"),
        _Size(1, "ampere", "A"),
    ),
    "W": (
        _Size(0, "microwatt", "µW"),
        _Size(1e-3, "milliwatt", "mW"),
        _Size(0.1, "watt", "W"),
        _Size(1e3, "kilowatt", "kW"),
    ),
    "Hz": (_Size(0, "hertz", "Hz"), _Size(1e3, "kilohertz", "kHz"), _Size(3e6, "megahertz", "MHz")),
    "1": (_Size(0, "percent", "%"),),
    "S": (_Size(0, "microsiemens", "µS"), _Size(1e-3, "millisiemens", "mS"), _Size(1, "siemens", "S")),
    "K": (_Size(0, "degree_Celsius", "°C"),),
    "s": (
        _Size(0, "microsecond", "µs"),
        _Size(1e-3, "millisecond", "ms"),
        _Size(1, "second", "s"),
        _Size(120, "minute", "min"),
        _Size(3600, "hour", "h"),
    ),
    "m": (_Size(0, "millimetre", "mm"), _Size(1, "metre", "m")),
    "C": (_Size(0, "microcoulomb", "µC"), _Size(1e-3, "millicoulomb", "mC"), _Size(1, "coulomb", "C")),
}

_SAID_AT_ZERO = {"H": 3, "ohm": 1, "V": 2, "A": 3, "W": 2, "S": 1, "s": 2, "C": 2}
"""Which size says a zero, where it is not the smallest."""

_FIGURES = {"Hz": 4}
"""How many figures a unit is said with where nothing else is asked for: a frequency is a setting, and 262.5 kHz keeps
its fourth."""
_COMMON_FIGURES = 3

_MAY_BE_THOUSANDS = re.compile(r"-?[1-9][0-9]{0,2}\.[0-9]{3}")
_DECIMALS_BEYOND = 2
_EVERY_FLOAT = Context(prec=700)


def say(value: float | None, unit: str, *, digits: int | None = None) -> str:
    """A value in SI as a page says it, ``digits`` figures long at most, with its unit behind a narrow no-break space.

    Without ``digits`` it is three figures, four for a frequency. ``unit`` is the SI unit as a Quantity has it.
    Capacitance is said in pF below 1 nF, in nF below 0.1 µF and in µF from there; frequency in kHz below 3 MHz, the end
    of the band that holds the medium waves. Zeros at the end of the decimals are left out, and figures before the
    decimal point are never rounded away: 10 nF, 0.95 V, 1605 kHz. No power of ten is ever written. None and what is no
    finite number give ``NOTHING``.
    """
    if value is None or not math.isfinite(value):
        return NOTHING
    size = _size(value, unit, digits)
    number = _in_size(value, size.name)
    return _joined(_trimmed(_rounded(number, _decimals(number, _figures(unit, digits)))), size.symbol)


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
    numbers = {value: _in_size(value, size.name) for value in known}
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
    size = _size(value, unit, digits)
    number = _in_size(value, size.name)
    text = _trimmed(_rounded(number, _decimals(number, _figures(unit, digits))))
    # Three decimals behind a figure could be thousands to a reader; four cannot.
    if _MAY_BE_THOUSANDS.fullmatch(text):
        text += "0"
    return f"{text} {ASCII[size.name]}"


@lru_cache(maxsize=128)
def _scale(name: str) -> tuple[Decimal, Decimal]:
    """Factor and offset with which pint goes from SI to a unit: number = SI / factor - offset."""
    ureg = registry()
    zero = ureg.Quantity(0, name).to_base_units()
    factor = ureg.Quantity(1, name).to_base_units().magnitude - zero.magnitude
    return _decimal(factor), _decimal(zero.magnitude / factor)


def _in_size(value: float, name: str) -> Decimal:
    factor, offset = _scale(name)
    return _decimal(value) / factor - offset


def _decimal(value: float) -> Decimal:
    """A float by its fifteen figures that mean something."""
    return Decimal(f"{value:.15g}")


def _figures(unit: str, digits: int | None) -> int:
    if digits is None:
        return _FIGURES.get(unit, _COMMON_FIGURES)
    if digits < 1:
        raise ValueError(f"{digits} figures: at least one is needed")
    return digits


def _size(value: float, unit: str, digits: int | None) -> _Size:
    """The size for a value, as it stands after rounding: 999.9 pF is said as 1 nF."""
    sizes = _SIZES[unit]
    if value == 0:
        return sizes[_SAID_AT_ZERO.get(unit, 0)]
    rounded = abs(float(f"{value:.{_figures(unit, digits) - 1}e}"))
    return next((size for size in reversed(sizes) if rounded >= size.least), sizes[0])


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


def _trimmed(digits: str) -> str:
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def _joined(digits: str, symbol: str) -> str:
    return f"{digits.replace('-', _MINUS)}{_BLANK}{symbol}"
