"""The items of a part's line as they are said: parted at a dash too, what was measured before or behind its word."""

from __future__ import annotations

import re
from collections.abc import Iterator

from .line_items import items
from .text import Text
from .trade_words import CONDITIONS, MEASURED, NOW
from .written_days import looks_like_a_date

_OPENING = "|".join(re.escape(word) for word in sorted((*CONDITIONS, *NOW, *MEASURED), key=len, reverse=True))
_DASH = re.compile(rf"\s+[-–—]\s+(?=(?:{_OPENING})(?!\w))", re.I)
_MEASURED_BEHIND = re.compile(r"(?P<value>[<>~]?[.\d][.,\d]*\s?[^\W\d]{0,8})\s+(?P<word>measured|meas\.?)\s*", re.I)
_TESTED = re.compile(r"(?:tested|checked)\s+(?P<said>[<>~]?[.\d].*)", re.I)
_FROM_BEHIND = re.compile(r"(?P<to>to\s+\S.*?)\s+(?P<from>from\s+\S.*)", re.I)
_IN_WORDS = re.compile(
    r"(?:(?:with|w/)\s+)?(?:an?\s+)?(?:cent(?:er|re)\s+)?tap(?:ped)?(?:\s+(?:at|for)\s.*)?|(?:well\s+)?within\s+\d+\s?%.*",
    re.I,
)
"""What says nothing of a value that the line has a place for: ``tap at 100k``, ``within 10%``."""
_OLD_ONE = re.compile(r"(?:the\s+)?old\s+(?:can|cap\w*|condenser|part|resistor|one)s?\s+\S", re.I)


def said_items(line: Text) -> Iterator[Text]:
    """The items of ``line`` in order: what stands behind a dash and begins with a word of the trade is one of its own.

    ``3.2 uF measured`` and ``to V1 plate from B+`` are turned round; what became of the old part is a note.
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
    if (tested := _TESTED.fullmatch(item)) and not looks_like_a_date(tested["said"].split(",")[0]):
        return item.taken_as(f"measured {tested['said']}")
    if behind := _FROM_BEHIND.fullmatch(item):
        return item.taken_as(f"{behind['from']} {behind['to']}")
    return item.taken_as(f"note {item}") if _OLD_ONE.match(item) or _IN_WORDS.fullmatch(item) else item
