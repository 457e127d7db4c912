"""Times that are written in words: ``half an hour``, ``four hours``, ``after twenty minutes``."""

from __future__ import annotations

import re

from .problems import quoted
from .text import Text

TIME_IN_WORDS = re.compile(
    r"(?:(?P<half>half an? hour|half hour)|(?P<three>three[ -]quarters of an hour)|"
    r"(?P<quarter>(?:a )?quarter of an hour|quarter hour)|"
    r"(?P<whole>an?|one|two|three|four|five|six|seven|eight|nine|ten)(?P<amid> and an? (?:half|quarter))? hours?"
    r"(?P<and> and a (?:half|quarter))?(?P<only>)"
    r"|(?P<minutes>five|ten|fifteen|twenty|thirty|forty[- ]five|forty|fifty|sixty|ninety) minutes?)(?=[\s,;]|$)",
    re.I,
)
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_MINUTES = {
    "five": 5,
    "ten": 10,
    "fifteen": 15,
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "forty-five": 45,
    "fifty": 50,
    "sixty": 60,
    "ninety": 90,
}
_IN_A_LINE = re.compile(
    rf"(?:(?<=^)|(?<=[,;] )|(?<=[,;]  )|(?<=\bfor )|(?<=\bafter )|(?<=\bheld ))(?P<time>{TIME_IN_WORDS.pattern})", re.I
)


TIME_ANYWHERE = re.sub(r"\?P<\w+>", "?:", TIME_IN_WORDS.pattern)
"""The same without its groups, for another pattern."""


def minutes_in_words(found: re.Match[str]) -> int:
    """The minutes of what ``TIME_IN_WORDS`` found."""
    if found["half"]:
        return 30
    if found["three"]:
        return 45
    if found["quarter"]:
        return 15
    if found["minutes"]:
        return _MINUTES[found["minutes"].casefold().replace(" ", "-")]
    word = found["whole"].casefold()
    hours = 1 if word in ("a", "an") else _NUMBERS.index(word) + 1
    more = (found["amid"] or found["and"] or "").casefold()
    return 60 * hours + (30 if "half" in more else 15 if "quarter" in more else 0)


def times_in_figures(line: Text) -> Text:
    """A line in which each time that an item is, or that stands behind “after” or “for”, is in minutes."""
    said = _IN_A_LINE.sub(lambda found: f"{minutes_in_words(found)} min", line)
    if said == line:
        return line
    told = ", ".join(quoted(found["time"]) for found in _IN_A_LINE.finditer(line))
    return line.taken_as(said, f"{told} read in minutes")
