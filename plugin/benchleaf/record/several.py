"""One can with several capacitors, written as one value: ``20-20 MFD``, ``2 x 50 µF``, ``50+50 µF``."""

from __future__ import annotations

import re

from .line_values import MOST_SURGE
from .text import Entries, Listing, Text

_UNIT = r"(?:uf|µf|μf|mfd|mf|ufd|mfds|microfarads?)"
_NUMBER = r"\d{1,4}(?:[.,]\d{1,2})?"
_TIMES = re.compile(rf"([2-5])\s?[x×*]\s?({_NUMBER})\s?({_UNIT})(?!\w)", re.I)
_ROW = re.compile(rf"({_NUMBER}(?:\s?[-+–/]\s?{_NUMBER}){{1,4}})\s?({_UNIT})(?!\w)", re.I)
_VOLTS = re.compile(r"\s*(?:(?:at|@)\s*)?(\d{1,4}(?:\s?[-+–/]\s?\d{1,4}){1,4})\s?(V|VDC|WVDC|volts?)(?!\w)", re.I)
"""The working volts of each section, behind the values."""
_APART = re.compile(r"\s?[-+–/]\s?")
_LEAST_AT_A_STROKE = 4
"""Microfarads below which numbers with a stroke between may be a fraction: ``1/2 uF``."""
_SECTIONS = "abcdefgh"
SECTIONS_REMEDY = "write “sections:” below it, and below that a line for each: “a: 20 uF 150 V, ESR 9 ohm”"


class Several(Listing):
    """The components of one can, in the order written."""

    @classmethod
    def of(cls, tables: Listing) -> Several:
        """Those of a line's tables."""
        can = cls(tables.place)
        can += tables
        return can


def several_at(item: Text, start: int) -> int | None:
    """Where a value of several sections that begins at a character ends; None where none does.

    Microfarads, each 1 or more: 3-30 pF is the range of a trimmer, and .1-.25 may be anything.
    """
    match = _TIMES.match(item, start) or _ROW.match(item, start)
    numbers = _APART.split(match[2] if match.re is _TIMES else match[1]) if match else []
    least = _LEAST_AT_A_STROKE if match and "/" in match[0] else 1
    if match is None or not all(float(n.replace(",", ".")) >= least for n in numbers):
        return None
    volts = _VOLTS.match(item, match.end())
    sections = int(match[1]) if match.re is _TIMES else len(numbers)
    return volts.end() if volts and _of_each(volts[1], sections) else match.end()


def _of_each(row: str, sections: int) -> bool:
    """Whether a row of volts has one for each section; two of which the second is a little more are 350/385 V."""
    volts = [float(number) for number in _APART.split(row)]
    has_a_surge = len(volts) == 2 and volts[0] < volts[1] <= MOST_SURGE * volts[0]
    return len(volts) == sections and not has_a_surge


def sections_of(value: Text) -> list[tuple[Text, Text | None]]:
    """The value of each section, and its working volts where each has its own."""
    match = _TIMES.match(value) or _ROW.match(value)
    if match is None:
        return [(value, None)]
    numbers = [match[2]] * int(match[1]) if match.re is _TIMES else _APART.split(match[1])
    unit = match[3] if match.re is _TIMES else match[2]
    row = _VOLTS.fullmatch(value, match.end())
    volts = [value.taken_as(f"{number} {row[2]}") for number in _APART.split(row[1])] if row else [None] * len(numbers)
    return [(value.taken_as(f"{number} {unit}"), rating) for number, rating in zip(numbers, volts, strict=True)]


def as_sections(table: Entries, sides: tuple[str, ...]) -> Entries:
    """A part's table in which the side that holds a can of several has become its sections."""
    for side in sides:
        can = table.get(Text(side))
        if isinstance(can, Several) and Text("sections") not in table:
            sections = Entries(can.place)
            for name, component in zip(_SECTIONS, can, strict=False):
                sections[Text(name, can.place)] = Entries(can.place)
                sections[Text(name)][Text(side, can.place)] = component
            del table[Text(side)]
            table[Text("sections", can.place)] = sections
    return table
