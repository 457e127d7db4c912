"""Parts that share a line: ``C8 & C9: .02 mfd`` are two alike, ``C1 & C2: 16+24 mfd`` have a value each."""

from __future__ import annotations

import re
from typing import Any

from .problems import quoted
from .several import values_in_a_row
from .text import Entries, Text

_NAME = r"[A-Z]{1,3}\d{1,3}[A-Z]?"
_NAMES = re.compile(
    rf"(?P<first>{_NAME})(?:\s*(?:&|\+|/|,|\band\b|\bund\b|\ben\b|\by\b)\s*(?:{_NAME}|\d{{1,3}}))+", re.I
)
_VALUE = r"[<>~]?\s?\.?\d[\d.,]*"
_READ_OF_EACH = re.compile(
    rf"\b(?P<word>measured|meas\.?|reads?|tested|ESR)\s+(?P<row>{_VALUE}(?:(?:,\s+|,?\s+(?:and|&)\s+){_VALUE})+)"
    r"(?P<unit>\s?(?:[µu]F|mfd|nF|pF|ohms?|Ω))?(?=\s*(?:,|;|\Z))",
    re.I,
)
"""What each of several parts measured: ``measured 47 and 46``, ``ESR 1.2 and 1.5 ohm``."""
_BETWEEN = re.compile(r",\s+(?:and\s+|&\s+)?|\s+(?:and|&)\s+", re.I)
_ENDS_OF_EACH = re.compile(r"\bbetween\s+(?P<row>[^,;]+?(?:\s+and\s+[^,;]+?)+)(?=\s*(?:,|;|\Z))", re.I)
"""The two ends of each: ``between HT1 and chassis and HT2 and chassis``."""
_EACH = re.compile(rf"{_NAME}|\d{{1,3}}(?!\w)", re.I)
_PARTS = frozenset({"parts"})


def parts_apart(tree: Entries) -> None:
    """Give each of several parts that share a line one of its own, in place; a name that is taken stays as it is."""
    for section in [value for name, value in tree.items() if name.casefold() in _PARTS]:
        if isinstance(section, Entries) and any(map(_NAMES.fullmatch, section)):
            entries = list(section.items())
            taken = {name.casefold() for name in (*section, *section.empty)}
            section.clear()
            for name, said in entries:
                names = _names(name)
                if len(names) > 1 and isinstance(said, Text) and taken.isdisjoint(one.casefold() for one in names):
                    section.update(_each(name, names, said))
                    taken |= {one.casefold() for one in names}
                else:
                    section[name] = said


def _names(name: Text) -> list[str]:
    """The names of several parts, a number alone with the letters of the first: ``C8/9``."""
    several = _NAMES.fullmatch(name)
    if several is None:
        return []
    letters = re.match(r"[A-Z]+", several["first"], re.I)
    found = _EACH.findall(name)
    return list(dict.fromkeys(one if not one.isdigit() or letters is None else f"{letters[0]}{one}" for one in found))


def _each(name: Text, names: list[str], said: Text) -> dict[Text, Any]:
    """The line of each part: rows of as many values are parted, all else is said of each."""
    lines = [str(said)] * len(names)
    for start, end, values in reversed(values_in_a_row(said)):
        if len(values) == len(names):
            lines = [f"{line[:start]}{value}{line[end:]}" for line, value in zip(lines, values, strict=True)]
    for row in [*_READ_OF_EACH.finditer(said)]:
        values = _BETWEEN.split(row["row"])
        if len(values) == len(names):
            whole = [f"{row['word']} {value}{row['unit'] or ''}" for value in values]
            lines = [line.replace(row[0], value, 1) for line, value in zip(lines, whole, strict=True)]
    if (ends := _ENDS_OF_EACH.search(said)) and len(places := ends["row"].split(" and ")) == 2 * len(names):
        pairs = [f"between {one} and {other}" for one, other in zip(places[::2], places[1::2], strict=True)]
        lines = [line.replace(ends[0], pair, 1) for line, pair in zip(lines, pairs, strict=True)]
    told = f"{quoted(name)} read as {len(names)} parts, {' and '.join(names)}"
    return {
        Text(one, name.place).taken_as(one, told if number == 0 else ""): said.taken_as(line)
        for number, (one, line) in enumerate(zip(names, lines, strict=True))
    }
