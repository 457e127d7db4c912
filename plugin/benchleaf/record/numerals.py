"""Numbers as they are put on paper: decimals with point or comma, groups of three, fractions, powers of ten.

Every step looks at each character a fixed number of times, so the longest text allowed takes as long as any other.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from math import gcd
from unicodedata import category

LONGEST = 64
"""Characters in the longest text that is looked at; a quantity with all its marks needs about half."""

NUMBER = r"(?:\d+(?:[.,]\d+)?|[.]\d+)"
"""A pattern of digits with at most one point or comma, for words that stand around a number."""

_LARGEST_EXPONENT = 30

_FOLDED = str.maketrans(
    {
        **dict.fromkeys("\u00a0\u2007\u2009\u202f", " "),
        **dict.fromkeys("\u2010\u2011\u2013\u2212", "-"),
        **dict.fromkeys("\u00b5\u03bc", "u"),
        **dict.fromkeys("\u223c\u02dc", "~"),
        **dict.fromkeys("\u2243\u2245", "≈"),
        **dict.fromkeys("\u2033\u201d", '"'),
        "\u2044": "/",
        "\u2236": ":",
        "\u2126": "Ω",
        "\u212a": "K",
        "\u00ba": "°",
        "\u02da": "°",
        "\u066a": "%",
        "≦": "≤",
        "≧": "≥",
        "⩽": "≤",
        "⩾": "≥",
        "℃": "°C",
        "℉": "°F",
        "㎊": "pF",
        "㎋": "nF",
        "㎌": "uF",
        "㏀": "kΩ",
        "㏁": "MΩ",
        "㎂": "uA",
        "㎃": "mA",
        "㎶": "uV",
        "㎷": "mV",
        "㎸": "kV",
        "㎼": "uW",
        "㎽": "mW",
        "㎾": "kW",
        "㎐": "Hz",
        "㎑": "kHz",
        "㎒": "MHz",
        "㎜": "mm",
        "㎝": "cm",
    }
)

_VULGAR = {
    "½": (1, 2),
    "⅓": (1, 3),
    "⅔": (2, 3),
    "¼": (1, 4),
    "¾": (3, 4),
    "⅕": (1, 5),
    "⅖": (2, 5),
    "⅗": (3, 5),
    "⅘": (4, 5),
    "⅙": (1, 6),
    "⅚": (5, 6),
    "⅛": (1, 8),
    "⅜": (3, 8),
    "⅝": (5, 8),
    "⅞": (7, 8),
    "⅒": (1, 10),
}
VULGAR = "".join(_VULGAR)

_FOREIGN = re.compile(rf"[^ -~Ω℧°∞≤≥±≈×{VULGAR}]")
_VULGAR_NUMBER = re.compile(rf"(?:([0-9]{{1,6}}) ?)?([{VULGAR}])")
_FRACTION = re.compile(r"(?:([0-9]{1,6})[ -])?([0-9]{1,4})/([0-9]{1,4})(?![0-9.,/])")
_SPACED = re.compile(r"([1-9][0-9]{0,2}(?: [0-9]{3})+)(?![0-9])([.,][0-9]+)?")
_RUN = re.compile(r"[0-9.,]*[0-9]")
_EXPONENT = re.compile(r"([eE])([+-]?[0-9]{1,3})(?![0-9.,])")
_MAY_BE_GROUPED = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+|[1-9][0-9]{0,2}(?:\.[0-9]{3})+")
_PLAIN = re.compile(r"[0-9]*[.,]?[0-9]+")


class IllegibleError(Exception):
    """No quantity of any kind; ``remedy`` says why and what to write."""

    def __init__(self, remedy: str) -> None:
        super().__init__(remedy)
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class Numeral:
    """A number as written.

    ``value`` is its plain meaning. ``grouped`` is what it means where its point or comma parts thousands: a comma
    before exactly three digits leaves open which (``comma``); a point is a decimal point to nearly everybody.
    ``with_e`` is what it means where a capital E stands for the decimal point (4E7 on a resistor: 4.7 ohm).
    ``fraction`` says that it was written with a fraction stroke.
    """

    value: Decimal
    grouped: Decimal | None = None
    comma: bool = False
    with_e: Decimal | None = None
    fraction: bool = False


def clean(text: str) -> str:
    """The text with one spelling for each sign (micro, minus, ohm, blank), or IllegibleError.

    Letters and digits of other scripts, invisible characters and line breaks are refused: they look like something
    they are not.
    """
    if len(text) > LONGEST:
        raise IllegibleError(f"it is longer than {LONGEST} characters: write one value with its unit")
    folded = text if text.isascii() else text.translate(_FOLDED)
    if foreign := _FOREIGN.search(folded):
        raise IllegibleError(_about(foreign[0]))
    return " ".join(folded.split())


def _about(character: str) -> str:
    if character in "\r\n\u2028\u2029":
        return "it runs over a line break: write one value on one line"
    code = f"U+{ord(character):04X}"
    if category(character) in ("Cf", "Cc", "Mn", "Me"):
        return f"it holds an invisible character ({code}): type the value anew"
    if character.isdigit() or character.isnumeric():
        return f"“{character}” ({code}) is not one of the digits 0 to 9: type the number anew"
    if character.isalpha():
        return (
            f"“{character}” ({code}) is not a letter of the Latin alphabet, though it may look like one: type it anew"
        )
    return f"“{character}” ({code}) has no meaning in a value: leave it out"


def read_numeral(text: str, start: int) -> tuple[Numeral, int] | None:
    """The number that begins at ``start`` and where it ends, or None where none begins there.

    A number that starts well and goes wrong (``4..7``, ``1/0``, ``1e99``) is IllegibleError.
    """
    if match := _VULGAR_NUMBER.match(text, start):
        over, under = _VULGAR[match[2]]
        return Numeral(int(match[1] or 0) + Decimal(over) / under, fraction=True), match.end()
    if (match := _FRACTION.match(text, start)) and _is_proper(int(match[2]), int(match[3])):
        return Numeral(int(match[1] or 0) + Decimal(match[2]) / Decimal(match[3]), fraction=True), match.end()
    if match := _SPACED.match(text, start):
        tail = (match[2] or "").replace(",", ".")
        return Numeral(Decimal(match[1].replace(" ", "") + tail)), match.end()
    if not (match := _RUN.match(text, start)):
        return None
    numeral, end = _read_run(match[0]), match.end()
    if exponent := _EXPONENT.match(text, end):
        return _raised(numeral, exponent), exponent.end()
    return numeral, end


def _is_proper(over: int, under: int) -> bool:
    """Whether n/d is a fraction, and not two values with a stroke between them (110/220, 8/16)."""
    if over == 1:
        return 1 < under <= 100
    return 1 < over < under and under in (3, 4, 5, 8, 10, 16, 32, 64) and gcd(over, under) == 1


def _read_run(run: str) -> Numeral:
    """Digits with points and commas among them."""
    if _PLAIN.fullmatch(run):
        value = Decimal(run.replace(",", "."))
        if _MAY_BE_GROUPED.fullmatch(run):
            return Numeral(value, Decimal(run.replace(",", "").replace(".", "")), comma="," in run)
        return Numeral(value)
    if _GROUPED.fullmatch(run):
        return Numeral(Decimal(run.replace(",", "").replace(".", "")))
    mark = max(run.rfind("."), run.rfind(","))
    whole, after = run[:mark], run[mark + 1 :]
    if run[mark] not in whole and _GROUPED.fullmatch(whole):
        return Numeral(Decimal(f"{whole.replace(',', '').replace('.', '')}.{after}"))
    raise IllegibleError(f"the points and commas of “{run}” make no number: write it with one decimal point")


def _raised(numeral: Numeral, exponent: re.Match[str]) -> Numeral:
    """A number times a power of ten."""
    power = int(exponent[2])
    if abs(power) > _LARGEST_EXPONENT:
        raise IllegibleError("its power of ten is beyond anything measured: use a unit of the right size")
    value = numeral.value.scaleb(power)
    grouped = None if numeral.grouped is None else numeral.grouped.scaleb(power)
    is_code = exponent[1] == "E" and exponent[2].isdigit() and numeral.value == numeral.value.to_integral_value()
    with_e = Decimal(f"{in_digits(numeral.value)}.{exponent[2]}") if is_code else None
    return Numeral(value, grouped, numeral.comma, with_e)


def in_digits(value: Decimal) -> str:
    """A number in plain digits: no power of ten, no zeros that say nothing."""
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
