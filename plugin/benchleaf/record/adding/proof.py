"""Whether a record with a line more says what it said before and what the line says, and nothing else."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from ..accustom import accustom_section
from ..mapping import as_mapping
from ..model import Record
from ..own_words import reworded
from ..text import Entries, Listing, Text
from .as_written import Added, InItem
from .open_record import Addition, OpenRecord

_SET = ("maker", "model", "format")


def read_alone(addition: Addition, into: OpenRecord) -> dict[str, Any] | None:
    """What an addition says by itself, as a record's mapping; None where it cannot be read by itself."""
    tree = _tree(addition.alone)
    accustom_section(addition.section, tree, into.manner)
    alone = Entries()
    alone.update({Text("maker"): Text("?"), Text("model"): Text("?"), Text(addition.section): tree})
    reworded(alone, into.manner.own_words)
    try:
        said = as_mapping(Record.model_validate(alone))
    except ValidationError:
        return None
    return {key: value for key, value in said.items() if key not in _SET}


def is_more(before: Any, alone: Any, after: Any) -> bool:
    """Whether ``after`` is ``before`` and ``alone`` together: nothing lost or changed, nothing twice."""
    if isinstance(before, dict) and isinstance(alone, dict) and isinstance(after, dict):
        return after.keys() == before.keys() | alone.keys() and all(
            is_more(before[key], alone[key], value)
            if key in before and key in alone
            else same(value, before[key] if key in before else alone[key])
            for key, value in after.items()
        )
    if isinstance(before, list) and isinstance(alone, list) and isinstance(after, list):
        return same(after, before + alone) or _in_one(before, alone, after)
    if isinstance(before, str) and isinstance(alone, str) and after == f"{before}, {alone}":
        return True
    return same(before, after) and same(alone, after)


def same(one: Any, other: Any) -> bool:
    """Whether two values are one, but for the line end of a text in a block, which it lacks at the end of a file."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(value, other[key]) for key, value in one.items())
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(same, one, other))
    if isinstance(one, str) and isinstance(other, str):
        return one.rstrip("\n") == other.rstrip("\n")
    return bool(one == other)


def holds_still(before: Any, after: Any) -> bool:
    """Whether all that was said before is said after, where something of it may have become longer."""
    if isinstance(before, dict) and isinstance(after, dict):
        return all(key in after and holds_still(value, after[key]) for key, value in before.items())
    if isinstance(before, list) and isinstance(after, list):
        return len(before) == len(after) and all(map(holds_still, before, after))
    return same(before, after)


def _in_one(before: list[Any], alone: list[Any], after: list[Any]) -> bool:
    """Whether one entry of a list has become more, and the others are as they were."""
    if len(alone) != 1 or len(before) != len(after):
        return False
    changed = [n for n, (old, new) in enumerate(zip(before, after, strict=True)) if not same(old, new)]
    return len(changed) == 1 and is_more(before[changed[0]], alone[0], after[changed[0]])


def _tree(value: Added) -> Entries | Listing | Text:
    if isinstance(value, str):
        return Text(value)
    if isinstance(value, InItem):
        return _tree([value.added])
    if isinstance(value, list):
        listing = Listing()
        listing += [_tree(item) for item in value]
        return listing
    entries = Entries()
    for name, inner in value.items():
        entries[Text(name)] = _tree(inner)
    return entries
