"""Taps as they are said in passing: of the line's settings without their ohms, and of a winding that is earthed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import JsonSchemaValue

from ..line_items import items
from ..text import Entries, Text

TAP_EARTHED = re.compile(
    r"(?<=[\w.])[,\s]\s*(?P<said>(?:c\.?\s?t\.?|c/t|cent(?:re|er)[- ]?tap(?:ped)?)"
    r"\s+(?:is\s+)?(?:earthed|grounded|(?:to|at)\s+(?:earth|ground|chassis)))(?!\w)",
    re.I,
)
"""That the tap in the middle of a winding lies on the chassis: ``c.t. earthed``."""
_SETTING = re.compile(
    r"(?P<name>\d{2,3}(?:\s?-\s?\d{2,3})?(?:\s?V\w*|\s?volts?)?)\s*(?::|=)?\s*(?P<ohms>\d[\d.,]*\s?(?:k?\s?ohms?|k|Ω|R))?",
    re.I,
)
"""A setting with its ohms or without: ``210 V``, ``220 V 1040 ohm``."""
_TOLD = "kept as a note: a setting is judged by the ohms that are written for it, such as “210 V: 12 ohm”"


def with_tap_earthed(table: Mapping[Any, Any] | None, said: Text) -> Mapping[Any, Any] | None:
    """A winding's table with its tap in the middle, and where it lies as the winding's note."""
    if table is None:
        return None
    before = table.get(Text("note"))
    note = said.and_then(before) if isinstance(before, Text) else said
    return {Text("halves", said.place): said, **table, Text("note", said.place): note}


def with_bare_taps_as_note(table: Mapping[Any, Any] | None) -> Mapping[Any, Any] | None:
    """A heater supply whose settings of the line in one line are read, those without ohms in its note."""
    name = next((key for key in table or () if " ".join(str(key).split()).casefold() == "mains taps"), None)
    said = table.get(name) if table else None
    if table is None or not isinstance(name, Text):
        return table
    settings, bare = Entries(name.place), []
    if isinstance(said, Text):
        read = [(item, _SETTING.fullmatch(item)) for item in items(said)]
        if not all(found for _, found in read):
            return table
        for item, found in read:
            if found and found["ohms"]:
                settings[item.cut(*found.span("name"))] = item.cut(*found.span("ohms"))
            else:
                bare.append(item)
    elif isinstance(said, Entries):
        settings.update(said)
        bare = said.empty
    if not bare:
        return {**table, name: settings} if isinstance(said, Text) else table
    text = ", ".join(bare)
    note = bare[0].taken_as(f"{name} {text}", f"“{text}” {_TOLD}")
    before = table.get(Text("note"))
    kept = Entries(name.place)
    kept.empty, kept.whole = getattr(table, "empty", []), getattr(table, "whole", True)
    kept.update({key: value for key, value in table.items() if key is not name})
    kept |= {name: settings} if settings else {}
    kept[Text("note", name.place)] = note.and_then(before) if isinstance(before, Text) else note
    return kept


def published_taps(made: JsonSchemaValue) -> JsonSchemaValue:
    """The settings may stand in one line, with their ohms or without."""
    return {"anyOf": [made, {"type": "string"}]}
