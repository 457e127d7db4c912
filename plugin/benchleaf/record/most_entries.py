"""How many of each kind a record may hold: more than any set has, and few enough to be worked out in a moment.

What is told of a kind stands at the first that is too many. Nothing of such a list is read further.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import islice
from typing import Any

from .problems import quoted

MOST: Mapping[str, int] = {
    "tubes": 50,
    "changed tubes": 100,
    "parts": 300,
    "sections": 12,
    "wires": 200,
    "readings": 40,
    "points": 120,
    "resistance": 60,
    "changes": 60,
    "faults": 60,
    "results": 60,
    "curve": 200,
    "curve before": 200,
    "response": 200,
    "response before": 200,
    "S-curve": 200,
    "log": 300,
    "photos": 100,
    "recordings": 40,
    "marks": 100,
    "before power": 60,
    "steps": 100,
    "touchable": 40,
    "B- to chassis": 12,
    "across the line": 12,
    "line to chassis": 12,
    "sheet": 12,
    "was": 12,
    "now": 12,
    "add": 12,
    "windings": 20,
    "measured": 60,
    "batteries": 6,
}
"""By the key of the section. Fifty tubes are a television receiver's, and twice those of the largest console."""
MOST_OF_ANY = 50
"""The same of what is not named."""
MOST_SLIPS = 30
"""Slips told of one line: what stands behind them is not read."""
MOST_LINE = 500
"""Characters of a line that is read word by word, since a line of twice as many takes four times as long. The longest
of some hundred records has 228."""
_REMEDY = "leave out what tells nothing new, or divide the record"


def first_beyond(key: str, value: object) -> Any:
    """The first entry under a key that is one too many, by its name or itself; None where there are few enough."""
    most = MOST.get(key, MOST_OF_ANY)
    if not isinstance(value, dict | list | tuple) or len(value) <= most:
        return None
    return next(islice(value, most, None))


def too_many(key: str, *, named: bool) -> tuple[str, str, str]:
    """What was found, what expected and what to do where a list holds too many; ``named`` where its key is written."""
    most = MOST.get(key, MOST_OF_ANY)
    return f"more than {most} entries{f' under {quoted(key)}' if named else ''}", f"at most {most}", _REMEDY


def too_many_slips() -> tuple[str, str, str]:
    """The same of a line with more slips than are told."""
    return f"more than {MOST_SLIPS} slips in one line", "one thing in a line", "put each on a line of its own"


MOST_OF_RESULT = 2_000
"""The same of a result, whose points may be a whole curve."""


def too_long_a_line(length: int, most: int = MOST_LINE) -> tuple[str, str, str]:
    """The same of a line that has more characters than are read."""
    remedy = "say the values on it, and tell the rest in story.md"
    return f"a line of {length:,} characters", f"at most {most:,}", remedy
