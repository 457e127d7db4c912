"""Which sign parts thousands in a record, told by how it writes its decimals."""

from __future__ import annotations

import re
from collections.abc import Iterable

COMMA, POINT, NEITHER = ",", ".", "neither"
_DECIMAL_COMMA = re.compile(r"(?<![\d.,])\d+,\d{1,2}(?=\s?[^\W\d_]{1,6}\b|\s?[%Ω~])(?!,)")
_DECIMAL_POINT = re.compile(r"(?<![\d.,])\d*\.\d{1,2}(?=\s?[^\W\d_]{1,6}\b|\s?[%Ω~])")
_BY_COMMA = re.compile(r"(?<![\d.,])([1-9]\d{0,2}(?:,\d{3})+)(?![\d,]|\.\d)")
_BY_POINT = re.compile(
    r"(?<![\d.,])([1-9]\d{0,2}(?:\.\d{3})*\.\d\d0)(?=\s?(?:pf|pfd|mmf|mmfd|uuf|cm|ohms?|Ω|ohmios?)(?!\w))", re.I
)
"""What a marked value with a point before three digits looks like; a measured one has no nought at its end."""


def thousands_told(lines: Iterable[str]) -> str:
    """The sign that parts thousands in these lines, by the other that parts decimals; empty where they do not tell.

    Where decimals have a comma somewhere, a point before three digits is no decimal point: ``0,1 uF``, ``10.000 pF``.
    Where commas stand before three digits too, neither sign is told: ``4,7 nF, measured 5,875 nF``.
    Where none has, and some have a point, a comma before three digits is none: ``2.6 ohm``, ``25,000 ohm``.
    """
    of_comma = of_point = by_comma = False
    for line in lines:
        of_comma = of_comma or _DECIMAL_COMMA.search(line) is not None
        of_point = of_point or _DECIMAL_POINT.search(line) is not None
        by_comma = by_comma or _BY_COMMA.search(line) is not None
    if of_comma:
        return NEITHER if by_comma else POINT
    return COMMA if of_point else ""


def without_thousands(text: str, sign: str) -> str:
    """A value's text without the sign that parts its thousands."""
    if sign not in (COMMA, POINT) or sign not in text:
        return text
    return (_BY_COMMA if sign == COMMA else _BY_POINT).sub(lambda found: found[1].replace(sign, ""), text)


_FIRST = re.compile(r"(?P<number>\d+(?:[.,]\d+)?)\s*\Z")
_LAST = re.compile(r"(?P<whole>\d{1,2})[.,](?P<rest>\d{3})(?!\d)")


def last_in_thousands(first: str, last: str) -> str:
    """The last end of a range without the sign between its thousands: ``540 to 1,600 kc`` would fall as a decimal."""
    low, high = _FIRST.match(first), _LAST.match(last)
    if low is None or high is None:
        return last
    falls = float(f"{high['whole']}.{high['rest']}") < float(low["number"].replace(",", "."))
    return f"{high['whole']}{high['rest']}{last[high.end() :]}" if falls else last
