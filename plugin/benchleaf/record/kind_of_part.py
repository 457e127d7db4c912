"""What kind of part a word of the trade means, and how a part was found."""

from __future__ import annotations

from typing import Any

from .part_types import ALL_TYPES, FILM_TYPES, PAPER_TYPES, RESISTOR_TYPES
from .problems import one_of, quoted
from .section import refused
from .text import Text
from .trade_words import CONDITIONS, TYPES
from .values import as_text

KIND_BY_UNIT = {"ohm": "resistor", "F": "capacitor", "H": "inductor"}
"""What sort of part the SI unit of its value makes it."""
UNIT_BY_KIND = {kind: unit for unit, kind in KIND_BY_UNIT.items()}

DECISIVE = ("open", "shorted", "none")
"""Conditions that say what lies between the two ends; others say how good it is."""
_WHEN_IT_BURNS = ("fusible", "flameproof")
_GENERAL = {
    **dict.fromkeys((*RESISTOR_TYPES[:6], "flameproof"), _WHEN_IT_BURNS),
    "film": FILM_TYPES,
    "paper": PAPER_TYPES,
    "mica": ("silver mica",),
    "carbon": (*RESISTOR_TYPES[:2], *_WHEN_IT_BURNS),
}


def read_type(value: Any) -> Text:
    """A kind of part by any word of the trade for it. Of two words the more particular counts; two kinds are asked."""
    text = as_text(value)
    said = [word.casefold() for word in text.split(", ")]
    meant = list(dict.fromkeys(TYPES.get(word, word) for word in said))
    kinds = [kind for kind in meant if not any(other in _GENERAL.get(kind, ()) for other in meant if other != kind)]
    if len(kinds) > 1 and all(word in TYPES or word in ALL_TYPES for word in said):
        raise refused(quoted(text), "one kind of part", f"write {one_of(map(quoted, kinds))}", at=text)
    if len(kinds) > 1 or meant == said == kinds:
        return text
    return text.taken_as(kinds[0], "" if kinds[0] in said else f"{quoted(text)} read as {quoted(kinds[0])}")


def read_condition(value: Any) -> Text:
    """How a component was found; of what decides whether current flows, in the one word that says it."""
    text = as_text(value)
    said = [word.casefold() for word in text.split(", ")]
    decisive = next((m for word in said if (m := CONDITIONS.get(word, "")) in DECISIVE), "")
    if not decisive or decisive in said:
        return text
    return text.taken_as(decisive, f"{quoted(text)} read as {quoted(decisive)}")
