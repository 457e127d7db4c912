"""The items of a part's line as they are said: parted at a dash too, what was measured before or behind its word."""

from __future__ import annotations

import re
from collections.abc import Iterator

from .line_items import items
from .text import Text
from .trade_words import CONDITIONS, MEASURED, NOW

_OPENING = "|".join(re.escape(word) for word in sorted((*CONDITIONS, *NOW, *MEASURED), key=len, reverse=True))
_DASH = re.compile(rf"\s+[-–—]\s+(?=(?:{_OPENING})(?!\w))", re.I)
_MEASURED_BEHIND = re.compile(r"(?P<value>[<>~]?[.\d][.,\d]*\s?[^\W\d]{0,8})\s+(?P<word>measured|meas\.?)\s*", re.I)
_OLD_ONE = re.compile(r"(?:the\s+)?old\s+(?:can|cap\w*|condenser|part|resistor|one)s?\s+\S", re.I)


def said_items(line: Text) -> Iterator[Text]:
    """The items of ``line`` in order: what stands behind a dash and begins with a word of the trade is one of its own.

    ``3.2 uF measured`` is turned round, and what became of the old part is a note.
    """
    for item in items(line):
        start = 0
        for dash in _DASH.finditer(item):
            yield _turned(item.cut(start, dash.start()))
            start = dash.end()
        yield _turned(item.cut(start) if start else item)


def _turned(item: Text) -> Text:
    if behind := _MEASURED_BEHIND.fullmatch(item):
        return item.taken_as(f"{behind['word']} {behind['value']}")
    return item.taken_as(f"note {item}") if _OLD_ONE.match(item) else item
