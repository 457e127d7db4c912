"""The names that stand beside a mistake in one entry: read only so that they can be looked up in the same pass."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from .line_form import read_line
from .model import Record
from .partial import UNKNOWN, Keys, line_told, way_to
from .sections.line_up import ChangedTube
from .sections.parts import Part
from .text import Entries, Text

_ROUNDS = 8
_LINED = {"parts": Part.FORM, "changed tubes": ChangedTube.FORM, "changed valves": ChangedTube.FORM}
"""Sections whose entries may be a line, which can be taken apart around its mistake."""


def read_within(tree: Entries, error: ValidationError) -> Record | None:
    """A record without the smallest pieces of its ``tree`` that an error was found in; None where nothing holds.

    It is good for nothing but its names: a part without its new value is not one that was kept. The tree is used up.
    """
    for _ in range(_ROUNDS):
        located = {(e["loc"], line_told(e)) for e in error.errors(include_url=False)}
        keys: Keys = {}
        ways = [(location, way_to(tree, location, keys, line)) for location, line in sorted(located, key=str)]
        for location, way in ways:
            _leave_out(tree, location, way)
        try:
            return Record.model_validate(tree)
        except ValidationError as next_error:
            error = next_error
    return None


def _leave_out(tree: Entries, location: tuple[int | str, ...], way: list[tuple[Any, Any]]) -> None:
    if not way:
        if location:
            tree[Text(str(location[0]))] = Text(UNKNOWN)
        return
    container, key = way[-1]
    form = _LINED.get(str(way[0][1]).casefold()) if len(way) == 2 else None
    if form and isinstance(container, Entries) and isinstance(line := container.get(key), Text):
        table, _ = read_line(line, form)
        container[key] = table
    elif isinstance(container, Entries):
        container.pop(key, None)
        container.empty = [k for k in container.empty if k != key]
    else:
        container[key] = Entries(container.place)
