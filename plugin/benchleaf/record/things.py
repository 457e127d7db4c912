"""Things of a set that a part may lie at, as the trade names them: ``T3 primary``, ``volume control``, ``P1 wiper``."""

from __future__ import annotations

import re
from collections.abc import Callable

from .line_values import PART_NAME, Spans
from .place_words import THINGS
from .text import Text
from .trade_words import BESIDE_A_JOB

_MOST_WORDS = 4
_TERMINAL = re.compile(r"top|bottom|hot end|cold end|junction|pri|sec")
"""Words for an end that stand behind a part's name; others are things themselves (``wiper``, ``secondary``)."""
_BUS = re.compile(r"line|rail|bus")
"""A wire that goes from stage to stage, behind the word for what it carries: ``bias line``."""
_OF_AN_ELECTRODE = re.compile(r"plate|anode|grid|screen|cathode")
_BESIDE_A_THING = (BESIDE_A_JOB | {"earth"}) - frozenset(
    {"coupling", "bypass", "decoupling", "filter", "smoothing", "reservoir", "leak", "load", "bias", "feed", "feedback"}
    | {"return", "stopper", "to", "from", "between", "and", "at", "in", "on", "for", "of", "the", "with", "across", "&"}
    | {"-", "–", "resistor", "capacitor", "condenser", "cap", "caps"}
)
"""Words of the trade, without those that say what a part does or join two ends."""


def thing_at(item: Text, words: Spans, index: int, stops: Callable[[int], bool]) -> int:
    """How many words of a thing, or of an electrode by its tube's job (``1st audio plate``), begin here; else 0."""
    longest = 0
    for end in range(index, min(len(words), index + _MOST_WORDS)):
        word = _word(item, words, end)
        part = end == index and PART_NAME.fullmatch(word)
        noun = THINGS.fullmatch(word) or _OF_AN_ELECTRODE.fullmatch(word)
        terminal = end > index and _TERMINAL.fullmatch(word)
        bus = end > index and _BUS.fullmatch(word)
        qualifies = word in _BESIDE_A_THING or (end == index and word == "bias")
        if stops(end) or not (part or noun or terminal or bus or qualifies):
            break
        if part or noun or terminal or bus:
            longest = end + 1 - index
    return longest


def _word(item: Text, words: Spans, index: int) -> str:
    return str(item)[slice(*words[index])].casefold().strip(".,:")
