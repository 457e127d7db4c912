"""An entry as the lines that stand for it in a record's file."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Union

from ..reader import read_tree


@dataclass(frozen=True, slots=True)
class InItem:
    """What is added to the entry number ``index`` (from 0) of a list."""

    index: int
    added: dict[str, Added]


Added = Union[str, "dict[str, Added]", "list[Added]", InItem]
"""What is put into a record: a line, or names and what goes under each, or what goes into a list."""

STEP = 2
"""Blanks for each level, where the file itself shows no other number."""


def block(value: Added, column: int, step: int = STEP) -> Iterator[str]:
    """The lines of what stands below a name, the first level of them at ``column``."""
    pad = " " * column
    if isinstance(value, dict):
        for name, inner in value.items():
            if isinstance(inner, str):
                yield f"{pad}{key_text(name)}: {value_text(inner)}"
            else:
                yield f"{pad}{key_text(name)}:{'' if inner else ' {}'}"
                yield from block(inner, column + step, step)
    elif isinstance(value, list):
        for item in value:
            lines = [value_text(item)] if isinstance(item, str) else list(block(item, 0, step))
            yield f"{pad}- {lines[0]}"
            yield from (f"{pad}  {line}" for line in lines[1:])


def braced(value: Added) -> str:
    """The same on one line, for a place inside braces or brackets."""
    return json.dumps(value, ensure_ascii=False)


def key_text(name: str) -> str:
    """A name as it may stand before a colon: in quotes where it would be read otherwise."""
    plain = read_tree(f"{name}: x", "")
    return name if plain == ({name: "x"}, []) and name == name.strip() else braced(name)


def value_text(text: str) -> str:
    """A text as it may stand behind a colon or a hyphen: in quotes where it would be read otherwise."""
    return text if read_tree(f"x: {text}", "") == ({"x": text}, []) else braced(text)
