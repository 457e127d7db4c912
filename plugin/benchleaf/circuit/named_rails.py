"""Rails that go by what is done to them and not by a number: ``reservoir`` is before the smoothing, ``smoothed HT``
behind it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ..record.place_words import B_PLUS, folded, read_rail

if TYPE_CHECKING:
    from ..record.model import Record

_RAIL = r"(?:h\.?\s?t\.?|b\s?\+|b plus|supply|rail|line|d\.?c\.?)"
_FIRST = re.compile(
    rf"(?:reservoir|raw|un(?:smoothed|filtered)|rectified)(?: {_RAIL})*"
    rf"|{_RAIL} (?:raw|reservoir|un(?:smoothed|filtered))"
    r"|(?:rectifier|rect\.?) (?:output|out)|first filter(?: cap(?:acitor)?)?"
)
_SECOND = re.compile(rf"(?:smoothed|filtered|clean)(?: {_RAIL})*|{_RAIL} (?:smoothed|filtered|clean)|smoothing")
_NUMBERED = re.compile(r"B\+\d+")
_ONE, _TWO = f"{B_PLUS}1", f"{B_PLUS}2"


def named_rails(record: Record) -> Mapping[str, str]:
    """The numbered rail that each name of such a kind means, by the name folded; none where rails are numbered anyway.

    A plain B+ beside one of the two is the other.
    """
    names = {folded(name): read_rail(name).key for name in _names(record)}
    if any(_NUMBERED.fullmatch(key) for key in names.values()):
        return {}
    first = [name for name in names if _FIRST.fullmatch(name)]
    second = [name for name in names if _SECOND.fullmatch(name)]
    plain = [name for name, key in names.items() if key == B_PLUS and name not in (*first, *second)]
    if not (first or second):
        return {}
    other = (_TWO if first else _ONE) if not (first and second) else ""
    return dict.fromkeys(first, _ONE) | dict.fromkeys(second, _TWO) | (dict.fromkeys(plain, other) if other else {})


def _names(record: Record) -> Iterator[str]:
    """What a record calls points: over readings, as ends of parts and in wires."""
    for run in record.readings.values():
        yield from map(str, run.points)
    for part in record.parts.values():
        yield from map(str, part.between or ())
    for wire in record.wires:
        yield from map(str, wire)
