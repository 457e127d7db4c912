"""Resistors of the parts list that stand in series with the dropper of a heater string, or with the string itself."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ..record.place_words import folded
from .in_place import in_place

if TYPE_CHECKING:
    from .circuit import Circuit
    from .listed import Listed

_IN_SERIES = re.compile(
    r"\bin series(?: with|,)?\s+(?:the )?"
    r"(?P<what>dropper|(?:heater |valve |tube )?string|heaters|(?-i:[A-Z]{1,2}\d+\w?))\b",
    re.I,
)
_SAID_APART = re.compile(r"\bin series(?: with)?(?: the)?\s*(?:$|[,;])", re.I)
"""What is left of it in a note where the reader took the rest for a job: ``dropper`` or ``heater``."""
_ACROSS = re.compile(r"\b(?:across|over|bleeds?|bleeder (?:of|on|across))\s+(?:the\s+)?(?:heater\s+)?dropper\b", re.I)
_DROPPER = re.compile(r"\bdropper\b", re.I)
_OF_STRING = re.compile(r"\b(?:dropper|heaters?|string)\b", re.I)


def beside_the_dropper(circuit: Circuit) -> dict[str, float]:
    """The resistors that are in and are said to stand in series with the dropper, by name, in ohms.

    That is ``in series with R20`` where R20 does a dropper's job, ``in series with the dropper``, ``with the string``.
    """
    found = {}
    for one in circuit.components:
        there, with_what = in_place(one, "now"), _in_series_with(one)
        if with_what and there.kind == "resistor" and there.value:
            other = circuit.named.get(folded(with_what))
            if _OF_STRING.search(with_what) or (other and _DROPPER.search(other.piece.job)):
                found[one.name] = there.value
    return found


def across_the_dropper(circuit: Circuit) -> float | None:
    """The resistors that are in and are said to lie across the dropper, in ohms side by side; None where none does."""
    siemens = 0.0
    for one in circuit.components:
        there, piece = in_place(one, "now"), one.piece
        notes = (piece.job, piece.note, *(seen.note for seen in (piece.now, piece.was) if seen))
        if there.kind == "resistor" and there.value and _ACROSS.search(" ; ".join(notes)):
            siemens += 1 / there.value
    return 1 / siemens if siemens else None


def _in_series_with(one: Listed) -> str:
    """What a part is said to be in series with: a part, the dropper, the string; empty where nothing is."""
    piece = one.piece
    notes = " ; ".join((piece.note, *(seen.note for seen in (piece.now, piece.was) if seen)))
    if said := _IN_SERIES.search(f"{piece.job} ; {notes}"):
        return said["what"]
    return piece.job if _SAID_APART.search(notes) and _OF_STRING.search(piece.job) else ""
