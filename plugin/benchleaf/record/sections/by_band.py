"""Results that one line gives for several bands: ``sensitivity: 90 uV MW, 150 uV LW`` are two."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..line_items import items
from ..most_entries import MOST_LINE
from ..problems import quoted
from ..text import Entries, Text

_BAND = (
    r"(?:MW|LW|SW\d?|KW|UKW|VHF|FM|AM|BC|MG|LG|KG|FG|OM|OC|OL|GO|PO|BE|medium|long|short|broadcast)"
    r"(?:[ -]wave(?:band)?)?"
)
_BEHIND = re.compile(rf"(?P<said>.*\d.*?)\s+(?:(?:on|at|in|for)\s+)?(?:the\s+)?(?P<band>{_BAND})(?:\s+band)?", re.I)
_BEFORE = re.compile(rf"(?P<band>{_BAND})\s*[:=]?\s+(?P<said>.*\d.*)", re.I)
_FEWEST = 2
_TESTED = re.compile(r"(?P<tube>[A-Z]{0,4}\d[\w-]*)\s+(?P<value>\d{1,3})(?P<unit>\s?%)?(?:\s*,\s*|\s+|\Z)", re.I)
"""A tube and what it tested, in a row of them."""


def by_band(results: Entries) -> Entries:
    """The results, those of a line that names several bands each under its own name; a name that is taken stays."""
    found = Entries(results.place, results.line)
    found.empty, found.whole = results.empty, results.whole
    names = {name.casefold() for name in results}
    for name, said in results.items():
        short = isinstance(said, Text) and len(said) <= MOST_LINE
        parted = list(_tubes(said) or _bands(said)) if short else []
        bands = [band.casefold() for band, _ in parted]
        fresh = len(set(bands)) == len(bands) >= _FEWEST and names.isdisjoint(f"{name} {b}".casefold() for b in bands)
        if not fresh:
            found[name] = said
            continue
        for number, (band, line) in enumerate(parted):
            each = "tube" if line.endswith("%") else "band"
            told = f"{quoted(name)} read as a result for each {each}: {', '.join(map(str, (b for b, _ in parted)))}"
            found[name.taken_as(f"{name} {band}", told if number == 0 else "")] = line
    return found


def _tubes(line: Text) -> list[tuple[Text, Text]]:
    """Each tube with what a tester showed of it, ``V1 82 %, V2 90``; empty where anything else stands there."""
    found = list(_TESTED.finditer(line))
    whole = "".join(one[0] for one in found)
    if len(found) < _FEWEST or len(whole) != len(line) or not any(one["unit"] for one in found):
        return []
    if not all(line.manner.position(one["tube"]) for one in found):
        return []
    return [(line.cut(*one.span("tube")), line.cut(*one.span("value")).taken_as(f"{one['value']} %")) for one in found]


def _bands(line: Text) -> Iterator[tuple[Text, Text]]:
    """Each band with what was measured on it; nothing where an item belongs to none."""
    if ";" in line:
        return
    pieces: list[tuple[Text, Text]] = []
    held: Text | None = None
    for item in items(line):
        band = _BEFORE.fullmatch(item) or _BEHIND.fullmatch(item)
        said = item.cut(*band.span("said")) if band else item
        if band:
            pieces.append((item.cut(*band.span("band")), said if held is None else held.and_then(said)))
            held = None
        elif pieces and _BEFORE.fullmatch(line):
            last, before = pieces[-1]
            pieces[-1] = last, before.and_then(item)
        else:
            held = item if held is None else held.and_then(item)
    if held is None:
        yield from pieces
