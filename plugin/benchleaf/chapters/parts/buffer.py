"""The buffer (timing) capacitor of a vibrator supply: value against what it replaces, rating, and whether it leaks."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .findings import Buffer
from .judging import Ends

if TYPE_CHECKING:
    from ...circuit.pieces import Piece
    from .findings import PartFindings


NEEDED_VOLTS = 1600.0
"""Least rating of a buffer capacitor in volts DC (common practice, no source)."""
CLOSE, FAR = 0.1, 0.2
"""A change within 10 % is close; beyond 20 % the timing is another (common practice, no source)."""

_JOB = re.compile(r"\b(buffer|timing)\b", re.I)
_ON_THE_SECONDARY = frozenset({"", "AC", "plate", "chassis", "B-"})


def is_buffer(piece: Piece, ends: Ends | None) -> bool:
    """Whether the job says so, and its ends, where they are written, can be those of the secondary."""
    return bool(_JOB.search(piece.job)) and (ends is None or all(e.kind in _ON_THE_SECONDARY for e in ends))


def buffer(row: PartFindings, ends: Ends | None) -> Buffer | None:
    """The judgement of its own, in a set with a vibrator; None for other parts."""
    if row.kind != "capacitor" or not is_buffer(row.piece, ends):
        return None
    change = _change(row)
    timing = ""
    if change is not None:
        timing = "close" if abs(change) <= CLOSE + 1e-9 else "near" if abs(change) <= FAR + 1e-9 else "off"
    inside = row.in_the_set.seen if row.in_the_set else row.piece.now
    rated = inside.volts if inside and not inside.volts_mark else None
    return Buffer(change, timing, rated, None if rated is None else rated >= NEEDED_VOLTS, _fault(row))


def _change(row: PartFindings) -> float | None:
    """The new one, as measured where that was done, against the sheet’s value or else the old one’s."""
    piece, new = row.piece, row.at("after")
    reference = next((s for s in (piece.sheet, piece.was) if s and s.value and s.unit == "F"), None)
    if reference is None or not reference.value or piece.now is None or new.unit != "F" or new.value is None:
        return None
    return new.value / reference.value - 1


def _fault(row: PartFindings) -> str:
    inside = row.in_the_set
    if inside is None:
        return ""
    if inside.condition == "shorted":
        return "shorted"
    held = row.now_held if row.new_is_fitted else row.was_held
    return "leaky" if held is not None and held.leakage_enough is False else ""
