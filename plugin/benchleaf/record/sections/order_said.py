"""How heaters are wired, said in words or as all of them side by side, where a string's order is asked for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ..problems import quoted
from ..text import Entries, Text

_NAMES_A_TUBE = re.compile(r"\b(?:[A-Z]{1,2}\d{1,2}|\d{1,3}[A-Z]{1,3}\d\w*|[A-Z]{2,4}\d{1,3})\b", re.I)
_NTC = frozenset({"ntc", "thermistor", "urdox", "ntc resistor"})
"""A resistor that has a line of its own, ``ntc:``: where it stands in a string changes nothing of the others."""
_FEWEST_WORDS, _MOST_WORDS = 3, 12
"""Of what is said of the heaters in words: one or two are a name that was mistyped."""
_IN_PARALLEL = re.compile(r"all\s+(?:\w+\s+)?(?:in\s+)?parallel\b", re.I)
_BESIDE = re.compile(r"\s+(?:beside|[∥+])\s+", re.I)
"""What joins heaters that lie side by side."""


def words_apart(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A supply whose order names no tube has it as its note, ``parallel, all on 1.4 V``, or all side by side."""
    name = next((key for key in table or () if str(key).casefold() == "order"), None)
    said = table.get(name) if table else None
    if table is None or not isinstance(said, Text) or not _FEWEST_WORDS <= len(said.split()) <= _MOST_WORDS:
        return table
    named = _NAMES_A_TUBE.search(said) or any(said.manner.position(word.strip(",")) for word in said.split())
    if named and not (_all_beside(said) or _IN_PARALLEL.match(said)):
        return table
    apart = Entries(getattr(table, "place", said.place), getattr(table, "line", None))
    apart.empty, apart.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    apart.update({key: value for key, value in table.items() if key is not name})
    note = said.taken_as(str(said), f"kept as a note: {said}")
    before = apart.get(Text("note"))
    apart[Text("note", said.place)] = note.and_then(before) if isinstance(before, Text) else note
    return apart


def _all_beside(said: Text) -> bool:
    """Whether every tube of the record lies beside the others, so that no string is left: ``V1 beside V2``."""
    members = [said.manner.position(name.strip(" ,")) for name in _BESIDE.split(said)]
    return len(members) > 1 and None not in members and set(members) == set(said.manner.tubes.values())


def without_ntc(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A supply whose order names no NTC that has a line of its own."""
    name = next((key for key in table or () if str(key).casefold() == "order"), None)
    said = table.get(name) if table else None
    if table is None or not isinstance(said, Text) or "ntc" not in {str(key).casefold() for key in table}:
        return table
    members = re.split(r"(\s*[,;]\s*|\s+(?:-|–|->|→)\s+)", said)
    kept = [m for m in members[::2] if m.strip().casefold() not in _NTC]
    if len(kept) == len(members[::2]) or not kept:
        return table
    told = f"{quoted('NTC')} left out of the order: it has a line of its own"
    return {**table, name: said.taken_as(", ".join(kept), told)}


_TAP = re.compile(
    r",?\s+(?:on|at|from|off|across)\s+(?:the\s+)?"
    r"(?:(?!heater\s)(?P<tube>[^\s,;]+?)(?:['’]s)?\s+(?:heater\s+)?tap|(?:heater\s+)?tap\s+(?:of|on)\s+(?:the\s+)?(?P<of>[^\s,;]+))\b",
    re.I,
)


def at_its_tap(lamp: Text) -> Text:
    """A lamp's line with the tap of a heater that it hangs on behind ``across``, the tube by its position."""
    tap = _TAP.search(lamp)
    position = lamp.manner.position(tap["tube"] or tap["of"]) if tap else None
    if tap is None or position is None:
        return lamp
    return lamp.taken_as(f"{lamp[: tap.start()]} across {position} tap{lamp[tap.end() :]}")
