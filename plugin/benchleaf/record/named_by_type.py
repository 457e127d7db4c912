"""Tubes called by their types: ``12SA7: converter`` under ``tubes`` is a 12SA7, and it goes by that name."""

from __future__ import annotations

from typing import Any

from .problems import quoted
from .text import Entries, Text

_TUBES = ("tubes", "valves")


def named_by_type(tree: Entries) -> None:
    """Give each tube of ``tree`` whose name is a type of the table that type, where what stands behind it has none."""
    for section in [value for name, value in tree.items() if name.casefold() in _TUBES]:
        if isinstance(section, Entries):
            for name in [*section, *section.empty]:
                _give_type(section, name)


def _give_type(section: Entries, name: Text) -> None:
    from ..tubes import find

    said: Any = section.get(name)
    if find(name) is None or (isinstance(said, Text) and find(said.split(maxsplit=1)[0].strip(",;:")) is not None):
        return
    told = f"{quoted(name)} taken as its type"
    if isinstance(said, Text):
        section[name] = said.taken_as(f"{name}, {said}", told)
    elif isinstance(said, Entries) and not any(key.casefold() == "type" for key in (*said, *said.empty)):
        said[Text("type", name.place)] = Text(str(name), name.place).taken_as(str(name), told)
    elif said is None:
        section.empty.remove(name)
        section[name] = Text(str(name), name.place).taken_as(str(name), told)
