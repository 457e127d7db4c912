"""The instruments of an alignment in one line, ``equipment: signal generator, output meter``, each under its name."""

from __future__ import annotations

import re
from typing import Any

from ..line_items import items
from ..text import Entries, Text

NAMES = ("equipment", "instruments", "test equipment", "test gear", "gear", "using")
"""What the line is called."""
_AND = re.compile(r"\s+(?:and|plus|\+|&)\s+", re.I)
_GENERATOR = re.compile(r"\b(?:generator|sig\.? ?gen|oscillator|sweep\w*|wobbulator|synthesi[sz]er)\b", re.I)
_METER = re.compile(
    r"meter\b|scope\b|\b(?:VTVM|VVM|VOM|DMM|DVM|AVO|probe|(?:magic|tuning) eye|indicator|analy[sz]er)\b", re.I
)


def instruments_apart(data: Any) -> Any:
    """An alignment's table with its instruments under ``generator`` and ``meter``; what is neither is its note."""
    name = next((key for key in data if key.casefold() in NAMES), None) if isinstance(data, Entries) else None
    line = data[name] if name is not None else None
    if name is None or not isinstance(line, Text):
        return data
    apart = Entries(data.place)
    apart.empty, apart.whole = data.empty, data.whole
    apart.update({key: value for key, value in data.items() if key is not name})
    for item in items(line):
        for instrument in _each(item):
            is_meter, is_generator = _METER.search(instrument), _GENERATOR.search(instrument)
            own = "generator" if is_generator and not is_meter else "meter" if is_meter and not is_generator else "note"
            _add(apart, own, instrument)
    return apart


def _each(item: Text) -> list[Text]:
    ends = [0, *(at for found in _AND.finditer(item) for at in found.span()), len(item)]
    return [item.cut(start, end) for start, end in zip(ends[::2], ends[1::2], strict=True)]


def _add(table: Entries, name: str, said: Text) -> None:
    key = next((key for key in table if str(key).casefold() == name), Text(name, said.place))
    before = table.get(key)
    table[key] = before.and_then(said) if isinstance(before, Text) else said
