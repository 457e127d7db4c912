"""Readings of an ohmmeter at the earth wire, written under the line side: they are cold checks, and no insulation."""

from __future__ import annotations

import re
from typing import Any

from .text import Entries, Listing, Text

_WIRE = r"(?:earth|ground|green|third|protective)(?:ing)?[- ]?(?:pin|prong|wire|lead|conductor|core)"
_CONTINUITY = re.compile(
    rf"\b(?:{_WIRE}\b(?:\s+(?:of\s+)?(?:the\s+)?plug)?|(?:plug\s+)?earth(?=\s+to\s+chassis)"
    r"|(?:earth|ground) (?:continuity|bond(?:ing)?)|continuity|protective[- ]conductor|schutzleiter\w*"
    r"|randaarde|aarddraad)",
    re.I,
)
"""What the ohms of an earth wire are said of."""
_OHMS = re.compile(r"(?:^|\s)[<>~]?\s?\d*[.,]?\d+\s?(?:m?ohms?|m?Ω|R)(?![\w])", re.I)
_MILLIONS = re.compile(r"\d\s?M", 0)
_EARTH_WIRE = "earth pin to chassis"
_IN_ITS_WORDS = re.compile(r"\bearth (?:pin|wire|lead)\b.*\bchassis\b", re.I)


def cold_lines_home(tree: Entries) -> None:
    """Take each line of ``line side: measured`` that has the ohms of the earth wire to ``before power``, in place."""
    sides = [value for name, value in tree.items() if name.casefold() == "line side" and isinstance(value, Entries)]
    for side in sides:
        name = next((name for name in side if name.casefold() == "measured"), None)
        rows: Any = side[name] if name is not None else None
        lines = rows if isinstance(rows, Listing) else [rows] if isinstance(rows, Text) else []
        cold = [row for row in lines if isinstance(row, Text) and _is_continuity(row)]
        if not cold or name is None:
            continue
        if len(cold) == len(lines):
            del side[name]
        else:
            left = Listing(rows.place)
            left += [row for row in lines if row not in cold]
            side[name] = left
        _put(tree, cold)


def _is_continuity(row: Text) -> bool:
    ohms = _OHMS.search(row)
    return _CONTINUITY.search(row) is not None and ohms is not None and not _MILLIONS.search(ohms[0])


def _put(tree: Entries, cold: list[Text]) -> None:
    """The lines at the head of the cold checks, where none takes its day from another."""
    name = next((key for key in tree if key.casefold() == "before power"), None)
    before = tree[name] if name is not None else None
    rows = Listing(cold[0].place)
    rows += [_in_their_words(row) for row in cold]
    rows += before if isinstance(before, Listing) else [] if before is None else [before]
    tree[name if name is not None else Text("before power", cold[0].place)] = rows


def _in_their_words(row: Text) -> Text:
    told = "read as a cold check of the earth wire, as those under “before power”"
    if _IN_ITS_WORDS.search(row):
        return row.taken_as(str(row), told)
    return row.taken_as(_CONTINUITY.sub(_EARTH_WIRE, row, count=1), told)
