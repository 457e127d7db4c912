"""Tubes called by their types: ``12SA7: converter`` under ``tubes`` is a 12SA7, and it goes by that name."""

from __future__ import annotations

import re
from typing import Any

from .line_items import items
from .problems import quoted
from .text import Entries, Text

TUBE_SECTIONS = ("tubes", "valves")
_POSITION = re.compile(r"(?P<name>[A-Z]{1,2}\d{1,2})\s+(?P<type>\w+).*", re.I)
_TYPE = re.compile(r"[^\s,;+]+")
_UNLISTED = re.compile(r"\d{1,3}[A-Z]{1,2}\d{1,2}(?:-?[A-Z]{1,3})?", re.I)
"""What is called as an American tube, though no table has it: ``6B6-G: det, audio``."""
_FEWEST = 2
"""Tubes of a row: one by itself may be anything."""


def named_by_type(tree: Entries) -> None:
    """Give each tube of ``tree`` whose name is a type of the table that type, where what stands behind it has none."""
    for name in [name for name in tree if name.casefold() in TUBE_SECTIONS]:
        said = tree[name]
        if isinstance(said, Text) and (row := _in_a_row(said)):
            tree[name] = row
    for section in [value for name, value in tree.items() if name.casefold() in TUBE_SECTIONS]:
        if isinstance(section, Entries):
            for name in [*section, *section.empty]:
                _give_type(section, name)


def _in_a_row(line: Text) -> Entries | None:
    """The tubes of one line, each by its position where that is said, else V1 and so on; None for any other line."""
    from ..tubes import find

    named = [(item, _POSITION.match(item)) for item in items(line)]
    row = Entries(line.place, line)
    if all(position and find(position["type"]) for _, position in named):
        row |= {item.cut(*p.span("name")): item.cut(p.start("type")) for item, p in named if p}
        return row
    types = [line.cut(*word.span()) for word in _TYPE.finditer(line)]
    if len(types) < _FEWEST or not all(map(find, types)):
        return None
    for number, type_ in enumerate(types, 1):
        told = f"{quoted(type_)} taken as that at V{number}, in the order written"
        row[Text(f"V{number}", type_.place).taken_as(f"V{number}", told)] = type_
    return row


def _give_type(section: Entries, name: Text) -> None:
    from ..tubes import find

    said: Any = section.get(name)
    unlisted = _UNLISTED.fullmatch(name) and isinstance(said, Text) and not any(map(str.isdigit, said))
    if (find(name) is None and not unlisted) or (
        isinstance(said, Text) and find(said.split(maxsplit=1)[0].strip(",;:")) is not None
    ):
        return
    told = f"{quoted(name)} taken as its type"
    if isinstance(said, Text):
        section[name] = said.taken_as(f"{name}, {said}", told)
    elif isinstance(said, Entries) and not any(key.casefold() == "type" for key in (*said, *said.empty)):
        said[Text("type", name.place)] = Text(str(name), name.place).taken_as(str(name), told)
    elif said is None:
        section.empty.remove(name)
        section[name] = Text(str(name), name.place).taken_as(str(name), told)
