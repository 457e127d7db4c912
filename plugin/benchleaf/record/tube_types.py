"""Where the type of a tube ends where its job follows without a comma: ``12SA7 converter``, ``80 - rectifier``."""

from __future__ import annotations

import re
from collections.abc import Callable

from .text import Text

_MOST_WORDS = 3
_SHAPE = re.compile(
    r"#?(?:\d{1,3}[A-Z]{1,2}\d{1,2}[A-Z]*|[A-Z]{1,5}\d{1,4}[A-Z]{0,2}|\d{2,4}[A-Z]?)(?:[-/]\w+)*\Z", re.I
)
_BEHIND = re.compile(r"[\s\-–:=]+")


def type_and_job(item: Text) -> tuple[Text, Text]:
    """The type that an item begins with, and what stands behind it; empty where the whole is taken for a type."""
    from ..tubes import find

    words = [match.span() for match in re.finditer(r"\S+", item)]
    if len(words) < 2:
        return item, item.cut(len(item))
    known = [n for n in range(min(_MOST_WORDS, len(words)), 0, -1) if _is_type(item, words, n, find)]
    count = known[0] if known else int(bool(_SHAPE.match(item[: words[0][1]])))
    if not count or count == len(words):
        return item, item.cut(len(item))
    end = words[count - 1][1]
    between = _BEHIND.match(item, end)
    return item.cut(0, end), item.cut(between.end() if between else end)


def _is_type(item: Text, words: list[tuple[int, int]], count: int, find: Callable[[str], object]) -> bool:
    """Whether so many words are a type of the table, the last of them more than a dash."""
    last = item[slice(*words[count - 1])]
    return any(map(str.isalnum, last)) and find(item[: words[count - 1][1]].strip("(,:")) is not None
