"""The reader of one set's places: what its tubes may be called, and which of its points were read below the chassis."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..record.manner import tube_names
from ..record.place_words import B_PLUS
from .named_rails import named_rails
from .places import COMMON, Places
from .read_volts import direct_readings

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube
    from .places import Place

_IS_B_PLUS = re.compile(r"B\+\d*")
"""The key of a point whose whole name says that it is the positive rail."""


def places_of(record: Record, tubes: Mapping[str, Tube]) -> Places:
    """The reader of a record's places. A type that stands at one position only is a name of that position."""
    types: dict[str, list[str]] = {}
    for position, fitted in record.tubes.items():
        for name in dict.fromkeys((str(fitted.type).casefold(), *tube_names(fitted.type))):
            types.setdefault(name, []).append(str(position))
    once = {type_: at[0] for type_, at in types.items() if len(at) == 1}
    names = {type_: at for type_, at in once.items() if not type_.isdecimal()}
    called = [name for position in record.tubes for name in tube_names(position)]
    names |= {name: str(at) for at in record.tubes for name in tube_names(at) if called.count(name) == 1}
    names |= {str(position).casefold(): str(position) for position in record.tubes}
    ordered = tuple(sorted(names.items(), key=lambda pair: (-len(pair[0]), pair[0])))
    numbers = {n: at for n, at in once.items() if n.isdecimal()}
    named = Places(tubes, tuple(map(str, record.tubes)), ordered, numbers, rails=named_rails(record))
    return replace(named, below=_read_below(record, named))


def _read_below(record: Record, places: Places) -> frozenset[str]:
    """The keys of points named after the positive rail, ``HT bottom``, that every list reads below the chassis."""
    volts: dict[str, list[float]] = {}
    for at, value in _read_to_the_bottom(record, places):
        if not at.tube and at.kind == B_PLUS and not _IS_B_PLUS.fullmatch(at.key):
            volts.setdefault(at.key, []).append(value)
    return frozenset(key for key, read in volts.items() if max(read) < 0)


def _read_to_the_bottom(record: Record, places: Places) -> Iterator[tuple[Place, float]]:
    """Every direct reading of the lists that are read to the chassis or B-, as those are that do not say."""
    for run in record.readings.values():
        if not run.to or places.read(str(run.to)).kind in COMMON:
            yield from direct_readings(run, places)
