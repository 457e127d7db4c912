"""One can with several capacitors, written as one value: ``20-20 MFD``, ``2 x 50 µF``, ``50+50 µF``."""

from __future__ import annotations

import re

from .text import Entries, Listing, Text

_UNIT = r"(?:uf|µf|μf|mfd|mf|ufd|mfds|microfarads?)"
_NUMBER = r"\d{1,4}(?:[.,]\d{1,2})?"
_TIMES = re.compile(rf"([2-5])\s?[x×*]\s?({_NUMBER})\s?({_UNIT})(?!\w)", re.I)
_ROW = re.compile(rf"({_NUMBER}(?:\s?[-+–/]\s?{_NUMBER}){{1,4}})\s?({_UNIT})(?!\w)", re.I)
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
    return match.end() if match and all(float(n.replace(",", ".")) >= least for n in numbers) else None


def sections_of(value: Text) -> list[Text]:
    """The value of each section."""
    if times := _TIMES.fullmatch(value):
        return [value.taken_as(f"{times[2]} {times[3]}") for _ in range(int(times[1]))]
    row = _ROW.fullmatch(value)
    return [value.taken_as(f"{number} {row[2]}") for number in _APART.split(row[1])] if row else [value]


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
