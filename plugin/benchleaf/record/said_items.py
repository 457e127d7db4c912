"""The items of a part's line as they are said: parted at a dash too, what was measured before or behind its word."""

from __future__ import annotations

import re
from collections.abc import Iterator

from .line_items import items
from .problems import quoted
from .text import Text
from .trade_words import CONDITIONS, MEASURED, NOW
from .written_days import looks_like_a_date

_OPENING = "|".join(re.escape(word) for word in sorted((*CONDITIONS, *NOW, *MEASURED), key=len, reverse=True))
_DASH = re.compile(rf"\s+[-–—]\s+(?=(?:{_OPENING})(?!\w))", re.I)
_MEASURED_BEHIND = re.compile(
    r"(?P<value>[<>~]?[.\d][.,\d]*\s?[^\W\d]{0,8})\s+(?P<word>measured|meas'd|meas\.?|gemeten|gemessen|medido)\s*", re.I
)
_TESTED = re.compile(r"(?:tested|checked)\s+(?P<said>[<>~]?[.\d].*)", re.I)
_FROM_BEHIND = re.compile(r"(?P<to>to\s+\S.*?)\s+(?P<from>from\s+\S.*)", re.I)
_IN_WORDS = re.compile(
    r"(?:(?:with|w/)\s+)?(?:an?\s+)?(?:cent(?:er|re)\s+)?tap(?:ped)?(?:\s+(?:at|for)\s.*)?|(?:well\s+)?within\s+\d+\s?%.*",
    re.I,
)
"""What says nothing of a value that the line has a place for: ``tap at 100k``, ``within 10%``."""
_TAP = re.compile(r"\s+(?=(?:with\s+(?:an?\s+)?)?tap(?:ped)?(?:\s+at)?\s+[.\d])", re.I)
"""Before where a control is tapped, which is no second value of it: ``500k tap 50k``."""
_TAPPED = re.compile(r"(?:with\s+(?:an?\s+)?)?tap(?:ped)?(?:\s+at)?\s+[.\d]", re.I)
_NEW = re.compile(
    r"\s+(?:(?:so|and|then)\s+)?(?=(?:repl(?:aced|\.)?\s(?:with|by|w/)|restuffed\s(?:with|w/)|changed\sto|->|→)\s+[.\d])",
    re.I,
)
"""Before what was fitted, however much was said before it."""
_DROPS = re.compile(r"drop(?:s|ped|ping)?\s+(?:about\s+)?[.\d]", re.I)
"""What a rectifier drops, which is none of its ratings."""
_FOR_A_REASON = re.compile(
    r"(?:replaced|changed|renewed|swapped)\s+"
    r"(?:on|as|just|anyway|because|for (?:safety|luck|good)|to be|in any|while|out of)\b[^\d]*",
    re.I,
)
_TALK = re.compile(
    r"\b(?:someone|somebody|I|I'm|we|he|she|they|it|this|that|these|which|who|had|has|have|been|did|would|could|looks?|looked|think|there"
    r"|takes?|took|place|goes|went|is|was|were|one|ones|cut|got|because|so|but)\b",
    re.I,
)
_LEAST_TALK, _LEAST_WORDS = 2, 7
_SAYS_OF_IT = re.compile(
    r"(?:and\s+)?(?:this|that|it|which|these|those|they)\s+(?:was|were|is|had|has|made|gave|caused|got|went|looked)\b[^\d]*",
    re.I,
)
"""What a sentence says of the part: ``this was the hot smell``."""
_OPENS_A_KEY = re.compile(
    rf"(?:{_OPENING}|was|sheet|between|from|job|why|note|positive|outside foil|taps|pins|restuffed)(?!\w)", re.I
)
_OLD_ONE = re.compile(
    r"(?:(?:the\s+)?(?:old\s+)?can\s+(?:was\s+)?left|(?:the\s+)?old\s+(?:can|cap\w*|condenser|part|resistor|one)s?\s+\S)",
    re.I,
)


def said_items(line: Text) -> Iterator[Text]:
    """The items of ``line`` in order: what stands behind a dash and begins with a word of the trade is one of its own.

    ``3.2 uF measured`` and ``to V1 plate from B+`` are turned round; what became of the old part is a note.
    """
    for item in items(line):
        start = 0
        for dash in sorted((*_DASH.finditer(item), *_TAP.finditer(item), *_NEW.finditer(item)), key=_begins):
            if dash.start() > start:
                yield _turned(item.cut(start, dash.start()))
            start = max(start, dash.end())
        yield _turned(item.cut(start) if start else item)


def _begins(found: re.Match[str]) -> int:
    return found.start()


def _turned(item: Text) -> Text:
    if behind := _MEASURED_BEHIND.fullmatch(item):
        return item.taken_as(f"{behind['word']} {behind['value']}")
    if (tested := _TESTED.fullmatch(item)) and not looks_like_a_date(tested["said"].split(",")[0]):
        return item.taken_as(f"measured {tested['said']}")
    if behind := _FROM_BEHIND.fullmatch(item):
        return item.taken_as(f"{behind['from']} {behind['to']}")
    if _FOR_A_REASON.fullmatch(item):
        return item.taken_as(f"note {item}", f"kept as a note: {item}")
    if _DROPS.match(item):
        return item.taken_as(f"note {item}", f"kept as a note: {item}")
    if _TAPPED.match(item):
        return item.taken_as(f"note {item}", f"{quoted(item)} kept as a note: which part of it is tapped")
    if _is_talk(item) or _SAYS_OF_IT.fullmatch(item):
        return item.taken_as(f"note {item}", f"kept as a note: {item}")
    return item.taken_as(f"note {item}") if _OLD_ONE.match(item) or _IN_WORDS.fullmatch(item) else item


def _is_talk(item: Text) -> bool:
    """Whether an item is a sentence of everyday speech with no figure in it, whatever words of the trade it has too."""
    words = item.split()
    if len(words) < _LEAST_WORDS or any(map(str.isdigit, item)) or _OPENS_A_KEY.match(item):
        return False
    return len(_TALK.findall(item)) >= _LEAST_TALK
