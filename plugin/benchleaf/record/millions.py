"""Whether “M” behind a number of ohms is a million in a record: a thousand it was on old American sheets only."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

IN_MILLIONS = "read as a million ohms: a thousand it was on old American sheets only"
"""What is told of ohms in M where the record says that it is of no such sheet (common practice, no source)."""
_M = re.compile(r"(?P<sign>[<>~]\s?)?(?P<number>\d+(?:[.,]\d+)?|[.]\d+)\s?M(?:[\s-][Oo]hms?)?")
_MOST_MEGOHMS = 22.0
"""Of a receiver's resistor (common practice, no source): what has more M has thousands."""
_IN_M = re.compile(rf"(?<![\w.,]){_M.pattern}(?!\w)")
_IN_K = re.compile(r"(?<![\w.,])(?P<number>\d+(?:[.,]\d+)?|[.]\d+)\s?[kK](?![-\w])")
_LEAK = re.compile(r"\b(?:leak\w*|insulation\w*|isolati\w+)\s+[^,;]*", re.I)
"""What a capacitor leaks through, which no resistor has."""
OF_ITS_SIZE = 3.0
"""A part measured within this ratio of its marking was measured in the unit of the marking (common practice)."""
_VOLTS = re.compile(r"(?<![\d.,])(?P<volts>\d{2,3})\s?(?:V\b|volts?\b|-)", re.I)
_FIFTY, _SIXTY = (re.compile(rf"(?<![\d.,–-]){n}\s?(?:Hz|c\b|c/s|c\.?p\.?s|cycles?|~|∿)", re.I) for n in (50, 60))
_FROM, _AMERICAN = 200, range(100, 150)
_BRITISH_NAMES = frozenset({"valves", "changed valves"})


def megohms_in_m(text: str) -> str:
    """The megohms of ``0.5M`` and ``1 M-ohm``; empty where a text is none, or more than a resistor has."""
    found = _M.fullmatch(text)
    return f"{found['sign'] or ''}{found['number']} megohm" if found and _number(found) <= _MOST_MEGOHMS else ""


def millions_told(sections: Mapping[str, Any], lines: Iterable[str]) -> bool:
    """Whether a record is of no American set: its line has 200 V or more at 50 Hz, or it calls its tubes valves.

    A line of America says the opposite. So do more M than a resistor has, and thousands beside it: ``10M, reads 11k``.
    """
    supply = str(sections.get("line") or sections.get("mains") or sections.get("nameplate") or "")
    volts = [int(found["volts"]) for found in _VOLTS.finditer(supply)]
    if _SIXTY.search(supply) or any(each in _AMERICAN for each in volts[:1]):
        return False
    european = bool(_FIFTY.search(supply)) and any(each >= _FROM for each in volts)
    if not (european or _BRITISH_NAMES & sections.keys()):
        return False
    return not any(_in_thousands(line) for line in lines)


def _in_thousands(line: str) -> bool:
    """Whether M stands for thousands in a line."""
    line = _LEAK.sub("", line)
    if "M" not in line:
        return False
    millions = [_number(found) for found in _IN_M.finditer(line)]
    thousands = [_number(found) for found in _IN_K.finditer(line)]
    return any(m > _MOST_MEGOHMS or any(m / OF_ITS_SIZE <= k <= m * OF_ITS_SIZE for k in thousands) for m in millions)


def _number(found: re.Match[str]) -> float:
    return float(found["number"].replace(",", "."))
