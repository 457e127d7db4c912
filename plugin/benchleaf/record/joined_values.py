"""One part made of several: ``two 10k 3 W in series`` is one resistor of 20 kilohm that stands 6 W."""

from __future__ import annotations

import math
import re

from .line_values import kind_of_part
from .numerals import NUMBER
from .quantities import AmbiguousQuantity, QuantityError, read_quantity
from .text import Text

_COUNTS = {
    word: count
    for count, words in ((2, "2 two zwei twee deux dos pair"), (3, "3 three drei drie trois tres"), (4, "4 four"))
    for word in words.split()
}
_OF = {
    "resistance": rf"(?:{NUMBER}\s?(?:k\s?(?:ohms?|Ω)?|meg(?:ohms?)?|ohms?|Ω|R)?|\d+[kR]\d{{1,2}})(?![\w.])",
    "capacitance": rf"{NUMBER}\s?(?:uF|µF|μF|mfd|nF|n|pF|p)(?!\w)",
}
_UNIT = {"resistance": "ohm", "capacitance": "F"}
_JOINT = re.compile(r"\s*(?:\+|&|\band\b|\bplus\b|\bund\b|\ben\b)\s*", re.I)
_WATTS = r"(?P<watts>\s+\d+(?:[./]\d+)?\s?W(?!\w))?"
_SORT = r"(?:\s+(?:\w+\s)?(?:resistors?|caps?|capacitors?|ones|each))?"
_HOW = (
    r"\s*,?\s+(?:in|both in|all in)\s+(?P<how>series|serie|parallel|reihe)\b"
    r"(?:\s+(?P<whole>\d+(?:[./]\d+)?\s?W(?!\w)))?"
)
"""How several are joined; the watts behind it are taken for those of the whole."""
_AS_THE_OLD = 0.25
"""How far off the old value a sum may be that takes its place without a word of how it is joined."""
_OLD = re.compile(r"\bnow\b|\breplaced\b|->", re.I)


def _patterns_of(value: str) -> tuple[tuple[re.Pattern[str], re.Pattern[str]], re.Pattern[str]]:
    """Several of a value that are said to be joined, by their count or each by itself; and either where it is new."""
    counted = rf"(?P<count>{'|'.join(_COUNTS)})\s*(?:x|×|\*|pcs|off|of)?\s+?(?P<one>{value})"
    row = rf"(?P<row>{value}(?:{_JOINT.pattern}{value})+)"
    by_count, each = (re.compile(rf"(?<![\w.]){one}{_WATTS}{_SORT}{_HOW}", re.I) for one in (counted, row))
    return (by_count, each), re.compile(rf"(?<=\s)(?:{row}|{counted}){_WATTS}(?=\s*(?:,|;|\Z))", re.I)


_OF_KIND = {kind: _patterns_of(value) for kind, value in _OF.items()}


def joined_into_one(line: Text) -> Text:
    """The part's line in which several values that are joined are the one that they make, with a note of them."""
    kind = kind_of_part(line.manner.part)
    if kind not in _OF_KIND:
        return line
    said, in_its_place = _OF_KIND[kind]
    for pattern in said:
        if (found := pattern.search(line)) and (made := _made(found, kind, _how(found["how"]))):
            return line.taken_as(f"{line[: found.start()]}{made}, note {found[0]}{line[found.end() :]}")
    new = _OLD.search(line) if kind == "resistance" else None
    found = in_its_place.search(line[new.end() :]) if new else None
    if new and found and (made := _made(found, kind, "series")) and _is_of_the_old(line[: new.start()], made, kind):
        start, end = new.end() + found.start(), new.end() + found.end()
        return line.taken_as(f"{line[:start]}{made}, note {found[0]} in series{line[end:]}")
    return line


def _how(said: str) -> str:
    return "parallel" if said.casefold() == "parallel" else "series"


def _made(found: re.Match[str], kind: str, how: str) -> str:
    """The value that the parts make, with the watts that all of them stand; empty where one cannot be read.

    Each takes its share of the power: in series by its ohms, in parallel by their inverse; the one with the largest
    share sets the limit where all stand the same.
    """
    named = found.groupdict()
    count = _COUNTS[named["count"].casefold()] if named.get("count") else 0
    written = [named["one"]] * count if count else _JOINT.split(named.get("row") or "")
    parts = [_si(one, kind) for one in written]
    if len(parts) < 2 or not all(parts):
        return ""
    adds = (how == "series") == (kind == "resistance")
    whole = math.fsum(parts) if adds else 1 / math.fsum(1 / part for part in parts)
    share = max(parts) / whole if adds else whole / min(parts)
    watts = _si(named["watts"], "power") if kind == "resistance" and named.get("watts") else 0.0
    rating = f" {watts / share:.3g} W" if watts else f" {named['whole']}" if named.get("whole") else ""
    return f"{_plain(whole, kind)}{rating}"


def _plain(si: float, kind: str) -> str:
    if kind == "resistance":
        return f"{si / 1e3:g} kohm" if si >= 1e3 else f"{si:g} ohm"
    return f"{si * 1e6:g} uF" if si >= 1e-7 else f"{si * 1e12:g} pF"


def _si(written: str, kind: str) -> float:
    text = written.strip()
    if kind == "resistance" and re.fullmatch(NUMBER, text):
        text = f"{text} ohm"
    try:
        return read_quantity(text, kind).si or 0.0
    except (AmbiguousQuantity, QuantityError):
        return 0.0


def _is_of_the_old(before: str, made: str, kind: str) -> bool:
    """Whether what is made is about what stood in its place, the first value of the line."""
    first = re.match(rf"\s*(?:was\s+)?(?P<one>{_OF[kind]})", before, re.I)
    old = _si(first["one"], kind) if first else 0.0
    new = _si(re.sub(r"\s[\d.]+ W\Z", "", made), kind)
    return bool(old) and abs(new / old - 1) <= _AS_THE_OLD
