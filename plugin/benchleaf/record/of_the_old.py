"""A word for what was bad, said last in a part's line: behind the new part it is still the old one's."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .problems import quoted
from .text import Entries, Listing, Text
from .trade_words import CONDITIONS

_OF_WHAT_WENT_BAD = frozenset(
    {"bad", "leaky", "shorted", "open", "dried out", "drifted", "high ESR", "worn", "noisy", "cracked"}
)
"""Conditions, by what they mean, that no part has on the day it is fitted."""
_CONDITION = Text("condition")


def bad_of_the_old(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A part's table with a bad condition behind ``now`` given to the old part: ``40 uF, now 47 uF, dried out``.

    One that the old part has none of is moved, and the writer is told; where that has one too, both stay.
    """
    old, new = (_only(table.get(Text(side)) if table else None) for side in ("was", "now"))
    said = new.get(_CONDITION) if new is not None else None
    if old is None or new is None or not isinstance(said, Text) or _CONDITION in old or Text("value") not in old:
        return table
    if CONDITIONS.get(said.casefold()) in _OF_WHAT_WENT_BAD:
        del new[_CONDITION]
        told = f"{quoted(said)} behind the new part read as how the old one was"
        old[Text("condition", said.place)] = said.taken_as(str(said), told)
    return table


def _only(found: object) -> Entries | None:
    """The one component of a side, however it is held."""
    one = found[0] if isinstance(found, Listing | tuple) and len(found) == 1 else found
    return one if isinstance(one, Entries) else None
