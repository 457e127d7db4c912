"""Bands as they are said: of the broadcast band in kilohertz without a word, several in one line."""

from __future__ import annotations

import re
from typing import Any

from .line_items import items
from .text import Entries, Text

_NAMED = re.compile(r"(?P<name>[^\W\d][\w ]*?)\s*[:=]?\s+(?P<ends>\.?\d.*)")
_MEDIUM_WAVE = frozenset({"am", "bc", "bcb", "broadcast", "broadcast band", "mw", "medium wave", "mittelwelle"})
_ENDS = re.compile(r"(\d{3,4})\s*(?:-|–|to)\s*(\d{4})")
_IN_METRES = re.compile(r"\d[\d.,]*\s*(?:-|–|to)\s*\d[\d.,]*\s?(?:m|met(?:er|re)s?)", re.I)
_LONG_WAVE = frozenset({"lw", "long wave", "long", "langwelle", "lb"})
_METRES = (600, 2200)
"""Between these numbers the ends of the long wave are metres; as kilohertz they would be of the medium wave."""
_KILOHERTZ = (450, 1800)
"""Between these numbers the ends of the medium wave are kilohertz; as metres they would lie the other way about."""


def bands_as_said(value: Any) -> Any:
    """The bands by name, each with the unit of its ends; anything else as it is."""
    bands = _by_name(value) if isinstance(value, Text) else value
    if not isinstance(bands, Entries):
        return value
    said = Entries(bands.place, bands.line)
    said.empty, said.whole = bands.empty, bands.whole
    said.update({name: _in_kilohertz(name, ends) for name, ends in bands.items()})
    in_metres = any(isinstance(ends, Text) and _IN_METRES.fullmatch(ends) for ends in said.values())
    said.update({name: _long_wave(name, ends) for name, ends in said.items() if in_metres})
    return said


def _by_name(line: Text) -> Entries | Text:
    bands = Entries(line.place, line)
    for item in items(line):
        named = _NAMED.fullmatch(item)
        if named is None:
            return line
        bands[item.cut(*named.span("name"))] = item.cut(named.start("ends"))
    return bands


def _long_wave(name: Text, ends: Any) -> Any:
    """``LW: 900-2000`` beside a band in metres."""
    both = re.fullmatch(r"(\d{3,4})\s*(?:-|–|to)\s*(\d{4})", ends) if isinstance(ends, Text) else None
    low, high = map(int, both.groups()) if both and name.casefold() in _LONG_WAVE else (0, 0)
    if not _METRES[0] <= low < high <= _METRES[1]:
        return ends
    return ends.taken_as(f"{ends} m", f"“{ends}” read as metres, as another band is")


def _in_kilohertz(name: Text, ends: Any) -> Any:
    both = _ENDS.fullmatch(ends) if isinstance(ends, Text) and name.casefold() in _MEDIUM_WAVE else None
    low, high = map(int, both.groups()) if both else (0, 0)
    if not _KILOHERTZ[0] <= low < high <= _KILOHERTZ[1]:
        return ends
    return ends.taken_as(f"{ends} kHz", f"“{ends}” read as kilohertz")
