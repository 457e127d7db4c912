"""Other words for a record's sections, which are read under the sections' own names."""

from __future__ import annotations

from .text import Entries

OTHER_NAMES = {
    "components": "parts",
    "mains side": "line side",
    "status": "state",
    **dict.fromkeys(("before switching on", "before switch on", "cold checks"), "before power"),
}


def under_own_names(tree: Entries) -> None:
    """Give each section of ``tree`` that goes by another word its own name, unless that stands there too."""
    taken = {_folded(key) for key in (*tree, *tree.empty)}
    if taken.isdisjoint(OTHER_NAMES):
        return
    entries = list(tree.items())
    tree.clear()
    for key, value in entries:
        own = OTHER_NAMES.get(_folded(key), "")
        renamed = bool(own) and own not in taken
        taken |= {own} if renamed else set()
        tree[key.taken_as(own) if renamed else key] = value


def own_name(name: str) -> str:
    """The name of a section in small letters, its own where it goes by another word."""
    return OTHER_NAMES.get(_folded(name), _folded(name))


def _folded(name: str) -> str:
    return " ".join(name.split()).casefold()
