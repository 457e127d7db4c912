"""A record read as far as it can be: without the clauses that have a mistake, or entries that have nothing else."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import Any

from pydantic import ValidationError

from .lost import block_of
from .model import Record
from .piecemeal import piecemeal
from .section import OURS
from .text import Entries, Listing, Text, line_column_of

_ROUNDS = 6
"""What is left of an entry may be wanting in its turn, and so on; a record that needs more is given up."""
_DEEP = {"readings": 3, "line side": 3}
"""How many names lead to the entry that is left out, where it is not two: a tube's readings in a run."""
_HOLDERS = {
    "heaters": ("windings", "batteries", "shunts"),
    "power-up": ("steps", "soak"),
    "power up": ("steps", "soak"),
    "alignment": ("steps", "levels", "response", "response before", "response after"),
    "readings": ("resistance",),
    "parts": ("sections", "inside"),
    "reforming": ("log",),
}
"""What has entries of its own within an entry of a section, each left out by itself."""
UNKNOWN = "?"
Keys = dict[int, dict[str, Text]]
"""The keys of a node by their text, the nodes by their identity."""


def without_mistakes(tree: Entries, text: str, error: ValidationError | None, marred: Collection[int]) -> Record | None:
    """What can be read of a ``tree`` that ``error`` was found in; None where nothing holds.

    ``marred`` are the lines of ``text`` with a slip of notation. The tree is used up. What the record must have and has
    not stands as “?”, so that the rest can be followed: such a record is never shown.
    """
    entries: set[int] = set()
    sections = set(marred)
    lines = text.split("\n")
    for number in marred:
        entries |= _leave_out_around(tree, lines, number)
    told = {line_told(e) for e in error.errors(include_url=False)} if error else set()
    for _ in range(_ROUNDS):
        try:
            with piecemeal() as left:
                record = Record.model_validate(tree)
        except ValidationError as next_error:
            _leave_out(tree, next_error, entries, sections)
            continue
        for line in filter(None, (*left, *told)):
            (sections if _is_whole(lines[line - 1]) else entries).add(line)
        return record.having_lost(text, entries, sections, marred=bool(marred))
    return None


def _is_whole(line: str) -> bool:
    """Whether a line begins a section, or has no name of its own: then any name in it may have been one."""
    return (bool(line.strip()) and not line.startswith((" ", "-", "#"))) or not re.search(r"^\s*-|:(?:\s|$)", line)


def _leave_out(tree: Entries, error: ValidationError, entries: set[int], sections: set[int]) -> None:
    """Take every entry with a mistake out of the tree, and note the line that it begins on."""
    listed: dict[int, tuple[Listing, set[int]]] = {}
    named: dict[int, tuple[Entries, set[str]]] = {}
    keys: Keys = {}
    located = {(e["loc"], line_told(e)) for e in error.errors(include_url=False) if e["loc"]}
    ways = [(location, _way(tree, location, keys, line)) for location, line in located]
    for location, way in ways:
        if way is None:
            tree[Text(str(location[0]))] = Text(UNKNOWN)
            continue
        container, key, depth = way
        at = key if isinstance(container, Entries) else container[key]
        line = (line_column_of(at) or container.place)[0]
        (sections if depth == 1 else entries).add(line)
        if isinstance(container, Entries):
            container.pop(key, None)
            named.setdefault(id(container), (container, set()))[1].add(key)
        else:
            listed.setdefault(id(container), (container, set()))[1].add(key)
    for holder, gone in named.values():
        holder.empty = [key for key in holder.empty if key not in gone]
    for container, indices in listed.values():
        for index in sorted(indices, reverse=True):
            del container[index]


def line_told(error: Any) -> int:
    """The line that an error tells of; 0 where it has none of its own."""
    place = error["ctx"]["place"] if error["type"] == OURS else None
    return (place or line_column_of(error["input"]) or (0, 0))[0]


def _leave_out_around(tree: Entries, lines: Sequence[str], number: int) -> set[int]:
    """Take out the entry that a line with a slip of notation stands in: a part of it is lost. Its line, if there is."""
    container: Any = tree
    way: list[tuple[Entries, Text]] = []
    while isinstance(container, Entries) and not (way and len(way) == _depth([key for _, key in way])):
        named = [key for key in container if key.place[0] <= number]
        key = max(named, key=lambda k: k.place, default=None)
        if key is None or number >= key.place[0] + sum(1 for _ in block_of(lines, key.place[0])):
            return set()
        way.append((container, key))
        container = container[key]
    if not way:
        return set()
    holder, last = way[-1]
    del holder[last]
    return {last.place[0]}


def _depth(names: Sequence[object]) -> int:
    """How many names lead to the entry that ``names``, from a section's on, lead to or through."""
    section, *within = (str(name).casefold() for name in names)
    holders = _HOLDERS.get(section, ())
    held = next((number for number, name in enumerate(within, 3) if name in holders), 0)
    return held or _DEEP.get(section, 2)


def _way(tree: Entries, location: tuple[int | str, ...], keys: Keys, line: int) -> tuple[Any, Any, int] | None:
    """What holds the entry that a location lies in, the entry's key or index there, and how many names lead to it."""
    way = way_to(tree, location, keys, line)
    if not way:
        return None
    depth = min(_depth([key for _, key in way]), len(way))
    return (*way[depth - 1], depth)


def way_to(tree: Entries, location: tuple[int | str, ...], keys: Keys, line: int = 0) -> list[tuple[Any, Any]]:
    """Everything that a location leads through, each as what holds it and its key or index there.

    Where the ``line`` that is told of is known, it says which entry of a list is meant: a section may be read into more
    entries, or fewer, than it has lines, and a location counts those.
    ``keys`` remembers the keys of what it has come by, for many locations in a tree that nothing changes meanwhile.
    """
    node: Any = tree
    way: list[tuple[Any, Any]] = []
    for part in location:
        if isinstance(node, Entries) and isinstance(part, str):
            if id(node) not in keys:
                keys[id(node)] = {str(k): k for k in (*reversed(node.empty), *reversed(node))}
            key = keys[id(node)].get(part)
            if key is not None:
                way.append((node, key))
                node = node.get(key)
        elif isinstance(node, Listing) and isinstance(part, int) and (index := _index(node, part, line)) < len(node):
            way.append((node, index))
            node = node[index]
    return way


def _index(listing: Listing, counted: int, line: int) -> int:
    """The entry that a line of the file stands in; where that cannot be said, the one that is counted."""
    begins = [(line_column_of(entry) or (0, 0))[0] for entry in listing]
    if not line or not all(begins) or line < begins[0]:
        return counted
    return max(index for index, begin in enumerate(begins) if begin <= line)
