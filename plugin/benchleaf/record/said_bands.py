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
_SHORT_WAVE = re.compile(r"(?:sw|s\.w\.?|short(?: wave)?|kw|kurzwelle)\s?\d?", re.I)
_BARE_ENDS = re.compile(r"(\d{1,4}(?:[.,]\d{1,2})?)\s*(?:-|–|to)\s*(\d{1,4}(?:[.,]\d{1,2})?)")
_METRES = ((_LONG_WAVE, 600, 2200), (_MEDIUM_WAVE, 150, 650))
_METRES_OF_SHORT_WAVE = (5, 250)
"""Between these numbers the ends of a band are metres where another band has metres."""
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
    said.update({name: _in_metres(name, ends) for name, ends in said.items() if in_metres})
    return said


def _by_name(line: Text) -> Entries | None:
    bands = Entries(line.place, line)
    for item in items(line):
        named = _NAMED.fullmatch(item)
        if named is None:
            return None
        bands[item.cut(*named.span("name"))] = item.cut(named.start("ends"))
    return bands


def _in_metres(name: Text, ends: Any) -> Any:
    """``LW: 900-2000`` and ``SW: 16.5-51`` beside a band in metres."""
    named = name.casefold()
    short = [_METRES_OF_SHORT_WAVE] if _SHORT_WAVE.fullmatch(named) else []
    bounds = [*short, *((least, most) for names, least, most in _METRES if named in names)]
    both = _BARE_ENDS.fullmatch(ends) if isinstance(ends, Text) else None
    low, high = (float(end.replace(",", ".")) for end in both.groups()) if both else (0.0, 0.0)
    if not any(least <= low < high <= most for least, most in bounds):
        return ends
    return ends.taken_as(f"{ends} m", f"“{ends}” read as metres, as another band is")


def _in_kilohertz(name: Text, ends: Any) -> Any:
    if name.casefold() not in _MEDIUM_WAVE or not _lies_within(ends, _KILOHERTZ):
        return ends
    return ends.taken_as(f"{ends} kHz", f"“{ends}” read as kilohertz")


def _lies_within(ends: Any, least_and_most: tuple[int, int]) -> bool:
    """Whether a text is two bare numbers, the lower first, both within those."""
    both = _ENDS.fullmatch(ends) if isinstance(ends, Text) else None
    return both is not None and least_and_most[0] <= int(both[1]) < int(both[2]) <= least_and_most[1]
