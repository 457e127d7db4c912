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
    told = f"{quoted(name)} read as {len(names)} parts, {' and '.join(names)}"
    return {
        Text(one, name.place).taken_as(one, told if number == 0 else ""): said.taken_as(line)
        for number, (one, line) in enumerate(zip(names, lines, strict=True))
    }
