"""A line cord that drops the rest of the line's voltage, under its own name."""

from __future__ import annotations

import re
from typing import Any

from ..problems import quoted
from ..text import Entries, Text

_CORDS = frozenset({"line cord", "resistance cord", "resistive cord", "line cord resistor", "ballast cord"})


def cord_as_dropper(data: Any) -> Any:
    """Heaters whose ``line cord: 1070 ohm`` is their dropper; beside a dropper it is the one that was there before."""
    key = next((key for key in data if str(key).casefold() in _CORDS), None) if isinstance(data, Entries) else None
    said = data[key] if key is not None else None
    if key is None or not isinstance(said, Text):
        return data
    name = next((name for name in data if str(name).casefold() == "dropper"), None)
    now = data[name] if name is not None else None
    if name is not None and (not isinstance(now, Text) or re.search(r"\bnow\b", now, re.I)):
        return data
    cord = said.taken_as(f"resistance cord {said}", f"{quoted(key)} read as the dropper")
    if isinstance(now, Text):
        told = f"{quoted(key)} read as the dropper that was there, {quoted('dropper')} as the one there now"
        cord = said.taken_as(f"resistance cord {said}, now {now}", told)
    heaters = Entries(data.place, data.line)
    for other, value in data.items():
        if other is key:
            heaters[Text("dropper", key.place)] = cord
        elif other is not name:
            heaters[other] = value
    heaters.empty, heaters.whole, heaters.given = data.empty, data.whole, data.given
    return heaters
