"""Resistors across heaters as they are said: ``R8 820 ohm across V3``, in one line or below their own names."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..line_items import items
from ..text import Entries, Text

_ACROSS = re.compile(
    r"(?:(?P<name>R\d+\w?)\s+)?(?P<ohms>\d[^,;]*?)\s+(?:across|over|in parallel with)\s+(?P<of>[^,;]+)", re.I
)
_BEHIND = re.compile(
    r"(?P<of>[^\W\d_]+\s?\d*(?:\s?(?:[-+]|to|and)\s?\w+)*)\s*[:=]?\s+(?P<ohms>\d[\d.,]*\s?\S+.*)", re.I
)


def shunts_by_what_they_cross(supply: Mapping[Any, Any] | None) -> None:
    """Put each shunt under what it lies across, in place, where it is said with ``across`` or all are in one line."""
    name = next((key for key in supply or () if str(key).casefold() == "shunts"), None)
    if supply is None or name is None or not isinstance(supply, dict):
        return
    written = supply[name]
    if isinstance(written, Text):
        said = [item for item in items(written) if item]
        found = [_ACROSS.fullmatch(item) or _BEHIND.fullmatch(item) for item in said]
        if found and all(found):
            table = Entries(written.place, written)
            for item, one in zip(said, found, strict=True):
                if one:
                    _put(table, item, one)
            supply[name] = table
    elif isinstance(written, Entries):
        table = Entries(written.place, written.line)
        table.empty, table.whole = written.empty, written.whole
        for key, line in written.items():
            across = _ACROSS.fullmatch(line) if isinstance(line, Text) else None
            if across and isinstance(line, Text):
                _put(table, line, across, key)
            else:
                table[key] = line
        supply[name] = table


def _put(table: Entries, said: Text, found: re.Match[str], name: Text | None = None) -> None:
    """The ohms under what they lie across; the part's own name is its note."""
    own = name or (said.cut(*found.span("name")) if found.groupdict().get("name") else None)
    ohms = said.cut(*found.span("ohms"))
    table[said.cut(*found.span("of"))] = ohms.taken_as(f"{ohms}; {own}") if own else ohms
