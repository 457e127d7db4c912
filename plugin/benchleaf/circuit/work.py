"""How far the work on a part has come, by what is written of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .pieces import Piece

NEW_PART_FITTED = frozenset({"replaced", "restuffed", "added"})
OPEN_STATES = ("to do", "reform", "on order", "tested")
DONE_STATES = ("kept", "reformed", "replaced", "restuffed", "added", "removed")
OLD_PART_FITTED = frozenset({"kept", "reformed", "looked at", *OPEN_STATES})


def state_of(written: str, piece: Piece, *, restuffed: bool, dates: Mapping[str, date]) -> str:
    """A part's state from what is written. ``dates`` holds those known of ordered, tested, fitted and checked.

    What is written as done ends a ``to do`` or ``reform`` that was left standing. Else a written word comes first; then
    the new part's latest date; a new part without any date is taken as fitted.
    """
    word = written.casefold()
    if word in ("keep", "kept", "reformed"):
        return "reformed" if word == "reformed" else "kept"
    new_is_in = piece.now is not None and piece.now.is_there and bool({"fitted", "checked"} & dates.keys())
    restuffed = restuffed or (piece.now is None and piece.was is not None and bool(piece.was.restuffed))
    if not (new_is_in or restuffed):
        if _was_reformed(piece) or (word == "reform" and ("checked" in dates or "tested" in dates)):
            return "reformed"
        if word in ("to do", "reform"):
            return word
    if piece.now is None:
        return "restuffed" if restuffed else "looked at"
    if not piece.now.is_there:
        return "removed"
    if "fitted" not in dates and "checked" not in dates:
        if "tested" in dates:
            return "tested"
        if "ordered" in dates:
            return "on order"
    if restuffed:
        return "restuffed"
    return "added" if piece.was and not piece.was.is_there else "replaced"


def _was_reformed(piece: Piece) -> bool:
    """Whether the old part is said to have been reformed, and no new one is told of."""
    return piece.now is None and piece.was is not None and "reformed" in piece.was.condition.casefold().split(", ")
