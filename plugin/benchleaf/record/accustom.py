"""Every text of a record is told how it may be taken: by its site, by the part it is about, by the record's tubes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from .manner import Manner, tube_name
from .text import Entries, Listing, Text

_LETTERS = re.compile(r"([A-Za-z]{1,3})\s?\d")
_TUBES = ("tubes", "valves")
_OF_PARTS = ("parts", "changes")
_FIRST_WORD = re.compile(r"[^\s,;]+")


def accustom(tree: Entries, site: Manner) -> None:
    """Give every text of a record's ``tree`` its manner, in place. ``site`` is what the site has settled."""
    sections = {str(key).casefold(): value for key, value in tree.items()}
    manner = replace(site, power=str(sections.get("power", "")), tubes=dict(_tubes(sections)))
    for key, value in tree.items():
        key.manner = manner
        accustom_section(key, value, manner)


def accustom_section(section: str, value: Any, manner: Manner) -> None:
    """Give every text under one section's name the record's ``manner``, that of a part what its letters say too."""
    entries = value.items() if section.casefold() in _OF_PARTS and isinstance(value, Entries) else ()
    for name, part in entries:
        letters = _LETTERS.match(name)
        name.manner = manner
        _give(part, replace(manner, part=letters[1].upper()) if letters else manner)
    if not entries:
        _give(value, manner)


def _give(value: Any, manner: Manner) -> None:
    waiting = [value]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Text):
            node.manner = manner
        elif isinstance(node, Entries):
            waiting += [*node, *node.values(), *node.empty]
        elif isinstance(node, Listing):
            waiting += node


def _tubes(sections: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Every name that a tube goes by, with its position: its type where it stands once, with and without its suffix."""
    listed = next((sections[name] for name in _TUBES if isinstance(sections.get(name), Entries)), Entries())
    types: dict[str, list[str]] = {}
    for position, tube in listed.items():
        written = tube.get(Text("type"), "") if isinstance(tube, Entries) else tube
        first = _FIRST_WORD.match(str(written))
        for name in dict.fromkeys(_names(first[0])) if first else ():
            types.setdefault(name, []).append(str(position))
    yield from ((type_, at[0]) for type_, at in types.items() if len(at) == 1)
    yield from ((tube_name(position), str(position)) for position in listed)


def _names(type_: str) -> Iterator[str]:
    """A type as written, and without the letters that say no more than its bulb: 35L6GT is called 35L6."""
    yield tube_name(type_)
    american = re.fullmatch(r"(\d{1,3}[a-z]{1,2}\d{1,2})g[tabcx]?", tube_name(type_))
    if american:
        yield american[1]
