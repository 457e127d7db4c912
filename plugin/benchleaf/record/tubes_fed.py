"""The tubes that a winding feeds, as they are said: ``V1 V2 and V3``, ``V1-V5``, ``6K7, 6Q7``, ``all``."""

from __future__ import annotations

import re
from typing import Annotated, Any

from .editor_schema import TEXT_SCHEMA
from .problems import quoted
from .text import Text
from .values import Reads, as_text

_MOST_WORDS_OF_A_TUBE = 4
_ALL = re.compile(
    r"everything|(?:all|alle|alla)(?:(?: of)? (?:the|de|die))?"
    r"(?:\s+(?:tubes|valves|rør|rörer?|röhren|buizen|lampen|heaters|filaments))?",
    re.I,
)
_ITS_PLATES = re.compile(r"(?<=\d)\s+(?:both\s+)?(?:anodes|plates)\b", re.I)
"""Behind a rectifier what of it the winding feeds."""
_FROM_TO = re.compile(r"(?<!\w)(?P<one>[A-Z]{1,2}\d{1,2})\s*(?:[-–]|\bto\b)\s*(?P<last>[A-Z]{1,2}\d{1,2})(?!\w)", re.I)


def _read_feeds(value: Any) -> Text:
    """The tubes by position; those of a row, ``V1-V5``, each by itself."""
    text = as_text(value)
    positions = list(dict.fromkeys(text.manner.tubes.values()))
    if _ALL.fullmatch(text) and positions:
        return text.taken_as(", ".join(positions))

    def row(said: re.Match[str]) -> str:
        ends = [text.manner.position(said[name]) for name in ("one", "last")]
        first, last = (positions.index(end) if end else -1 for end in ends)
        return " ".join(positions[first : last + 1]) if 0 <= first < last else said[0]

    if plates := _ITS_PLATES.search(text):
        alone = _ITS_PLATES.sub("", text)
        text = text.taken_as(alone, f"{quoted(text)} read as {quoted(alone)}: what is fed of it is {plates[0].strip()}")
    words = _FROM_TO.sub(row, text).split()
    named: list[str] = []
    while words:
        counts = range(min(_MOST_WORDS_OF_A_TUBE, len(words)), 0, -1)
        tubes = ((n, text.manner.position(" ".join(words[:n]).strip(",;"))) for n in counts)
        count, tube = next(((n, tube) for n, tube in tubes if tube), (1, None))
        ends_with = "," if words[count - 1][-1] in ",;" else ""
        named.append(f"{tube}{ends_with}" if tube else words[0])
        words = words[count:]
    return text if " ".join(named) == " ".join(text.split()) else text.taken_as(" ".join(named))


Feeds = Annotated[Text, Reads(_read_feeds, TEXT_SCHEMA)]
"""Tubes in a row."""
