"""Sections that stand among the parts: ``wires`` is taken home, of any other it is asked whether it is a part."""

from __future__ import annotations

from .other_names import own_name
from .problems import Problem, quoted
from .text import Entries, Listing, Text

_WIRES = "wires"
_NO_PARTS = frozenset(
    (
        _WIRES, "tubes", "valves", "changed tubes", "changed valves", "heaters", "readings", "line side", "parts",
        "changes", "faults", "before power", "power-up", "power up", "reforming", "alignment", "results", "log",
        "photos", "bands",
    )
)  # fmt: skip
"""Sections whose names no part has; ``speaker``, ``vibrator`` and ``aerial`` may well be one's."""


def sections_out_of_parts(tree: Entries, file: str) -> list[Problem]:
    """Take ``wires`` out of the parts of ``tree`` to where it belongs, in place; what is asked of other sections."""
    told = []
    for parts in [value for name, value in tree.items() if name.casefold() == "parts" and isinstance(value, Entries)]:
        for name in [name for name in parts if own_name(name) in _NO_PARTS]:
            if not _taken_home(tree, parts, name):
                told.append(_asked(parts, name, file))
    return told


def _taken_home(tree: Entries, parts: Entries, name: Text) -> bool:
    wires = parts[name]
    there = any(own_name(key) == _WIRES for key in (*tree, *tree.empty))
    if own_name(name) != _WIRES or there or not isinstance(wires, Text | Listing) or not wires:
        return False
    del parts[name]
    first = wires if isinstance(wires, Text) else wires[0]
    if isinstance(first, Text):
        said = first.taken_as(str(first), "read as wires, which are no part: they stand under a name of their own")
        if isinstance(wires, Listing):
            wires[0] = said
        else:
            wires = said
    tree[Text(_WIRES, name.place)] = wires
    return True


def _asked(parts: Entries, name: Text, file: str) -> Problem:
    del parts[name]
    remedy = f"begin {quoted(f'{name}:')} at the margin, below the parts, or give the part a name such as “C1”"
    return Problem.at(file, name.place, "parts", f"{quoted(name)}, a section, among the parts", "a part", remedy)
