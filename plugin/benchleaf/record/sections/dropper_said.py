"""A dropper's line as it is said at a bench, reworded as it is read: what was there before, and where it is open."""

from __future__ import annotations

import re

from ..problems import quoted
from ..text import Text

_WAS = re.compile(
    r"(?P<now>(?:(?P<name>[A-Z]{1,2}\d{1,3}),\s+)?\S.*?\d.*?),?\s+\(?(?:it\s+)?was\s+(?P<old>[.\d](?:[^,;)]|,\d)*)\)?"
    r"(?P<rest>\s*(?:[,;].*)?)",
    re.I,
)
"""One of which is said behind its ohms what was there before: ``2,200 ohms 10 watts, was 1,500 ohms``."""
_OPEN_BETWEEN = re.compile(
    r"\b(?P<read>(?:measured|meas\.?|reads?)\s+open)\s+(?P<pins>(?:from\s+|between\s+)?pins?\s+\w{1,3}\s+(?:to|and)\s+\w{1,3})",
    re.I,
)
"""A ballast that is open between two of its pins."""


def open_between(data: Text) -> Text:
    """The line with the pins behind “open” as its note: ``measured open pin 3 to 7``."""
    return data.taken_as(_OPEN_BETWEEN.sub(r"\g<read>, note \g<pins>", data))


def old_first(data: Text) -> Text:
    """The line with what was there before what is there now."""
    said = None if re.search(r"\bnow\b", data, re.I) else _WAS.fullmatch(data)
    if said is None:
        return data
    now = said["now"][said.end("name") + 1 :].strip() if said["name"] else said["now"]
    name = f", note {said['name']}" if said["name"] else ""
    told = f"{quoted(said['now'])} read as what is there now"
    return data.taken_as(f"{said['old']}{said['rest']}, now {now}{name}", told)
