"""A part that is said to lie across another of the parts list: ``C9: 100 pF, across R8`` has the two ends of R8."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..place_words import folded
from ..problems import quoted
from ..text import Text

if TYPE_CHECKING:
    from .parts import Part

_ACROSS = re.compile(r"(?:^|[\s,])across\s+(?P<part>[A-Z]{1,3}\s?\d{1,3}[a-z]?)(?=\s*(?:,|;|\Z))", re.I)


def with_ends_of_others(parts: Mapping[Text, Part]) -> None:
    """Give each part across another the ends of that, where it has none of its own and the other's are written.

    A part across one that itself lies across a third has the ends of the third.
    """
    by_name = {folded(name): part for name, part in parts.items()}
    for part in parts.values():
        seen: set[int] = set()
        other: Part | None = part
        while other is not None and not other.between and id(other) not in seen:
            seen.add(id(other))
            named = _ACROSS.search(other.job) if other.job is not None else None
            other = by_name.get(folded(named["part"])) if named else None
        said = _ACROSS.search(part.job) if part.job is not None and not part.between else None
        if said and part.job is not None and other is not None and other.between:
            told = f"{quoted(said[0].strip(' ,'))} read as from {other.between[0]} to {other.between[1]}"
            job = part.job
            first, second = (Text(str(end), job.place) for end in other.between)
            object.__setattr__(part, "between", (first.taken_as(str(first), told), second))
