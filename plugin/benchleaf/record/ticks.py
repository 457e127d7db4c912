"""Ticks behind what is done, as in a notebook: ``kept ✓`` is ``kept``."""

from __future__ import annotations

import re
from typing import Any

from .other_names import own_name
from .text import Entries, Listing, Text

_TICK = re.compile(r"[✓✔☑✅]\ufe0f?")
_LINES = frozenset(
    ("tubes", "valves", "changed tubes", "changed valves", "heaters", "readings", "line side", "parts", "changes",
     "speaker", "before power", "power-up", "power up", "reforming", "alignment", "results")
)  # fmt: skip
"""Sections whose lines hold values and words; in a note, a log or a story a tick stands as it was typed."""
_PROSE = frozenset(("note", "why"))


def unticked(tree: Entries) -> None:
    """Put blanks in the place of ticks in a record's lines, in place: each piece keeps its column."""
    for name, value in tree.items():
        if own_name(name) in _LINES:
            tree[name] = _without(value)


def _without(value: Any) -> Any:
    if isinstance(value, Text) and _TICK.search(value):
        plain = _TICK.sub(lambda tick: " " * len(tick[0]), value)
        return _at_its_place(plain, value)
    if isinstance(value, Entries):
        for name, inner in value.items():
            value[name] = inner if " ".join(name.split()).casefold() in _PROSE else _without(inner)
    elif isinstance(value, Listing):
        value[:] = [_without(one) for one in value]
    return value


def _at_its_place(plain: str, value: Text) -> Text:
    """The line without what stood at its end: a comma before a tick goes with it."""
    kept = Text(plain.rstrip(" ,;") or str(value), value.place, single=value.single).like(value)
    kept.remarks = value.remarks
    return kept
