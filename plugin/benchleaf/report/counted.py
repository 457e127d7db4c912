"""The types of tubes of a set as a line says them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

MOST_TYPES = 12
"""More than these do not fit two lines of a card."""


def counted_types(types: Iterable[str]) -> tuple[str, ...]:
    """The types in their order; of more than fit two lines of a card each once, with how many there are of it."""
    all_of = tuple(types)
    if len(all_of) <= MOST_TYPES:
        return all_of
    return tuple(type_ if count == 1 else f"{count}\u00a0×\u00a0{type_}" for type_, count in Counter(all_of).items())
