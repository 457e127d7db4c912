"""The one sentence that the causes of a run come to."""

from __future__ import annotations

from .fault_words import in_the_past
from .ranked_causes import CANNOT_TELL, FITS_BEST, LIKELY, POSSIBLE, RankedCause, RunCauses

__all__ = ["brief", "lead", "put_right"]

_HOW = {
    FITS_BEST: "of all single faults this fits the readings best",
    LIKELY: "likely, as the readings stand",
    POSSIBLE: "possible, as the readings stand",
}
_THEN = {FITS_BEST: "it fitted best", LIKELY: "likely then", POSSIBLE: "possible then"}


def lead(one: RunCauses, newest: str = "") -> str:
    """What a run comes to: never more than that a fault fits, and of a run put right in the past.

    Of the ``newest`` run the page itself says that it needs no fault.
    """
    if one.past:
        by = "" if one.settled in ("", newest) else f" {one.settled} needs no fault to explain it."
        return f"{one.run}: {_in_the_past_said(one)}.{by}"
    first = one.first
    if one.in_order and not one.sound:
        return f"{one.run}: what is held to a value is within its band, and no part is suspected."
    if one.sound and first is not None and first.said == CANNOT_TELL:
        return f"{one.run}: no fault is needed to explain the readings, but they would not show every one."
    if first is None or first.said == CANNOT_TELL:
        return f"{one.run}: the readings cannot tell yet."
    if first.subject is not None:
        return f"{one.run}: {_said(first)}."
    if one.no_single_fault:
        return f"{one.run}: neither one fault nor that nothing is wrong explains the readings."
    return f"{one.run}: no fault is needed to explain the readings."


def brief(one: RunCauses) -> str:
    """The suspect in a sentence of the record; empty where there is none."""
    if one.suspect is None:
        return ""
    said = _then_said(one.suspect) if one.replaced else _said(one.suspect)
    return f"{said[:1].upper()}{said[1:]}."


def _said(cause: RankedCause) -> str:
    return f"{_HOW[cause.said]}: {cause.cause}{_together(cause)}{_alike(cause)}"


def _together(cause: RankedCause) -> str:
    return f", together with {_listed(cause.together)} as measured" if cause.together else ""


def _alike(cause: RankedCause) -> str:
    return f"; {_listed(cause.alike)} would read the same" if cause.alike else ""


def put_right(one: RunCauses) -> str:
    """A suspect that was put right since, in a few words; empty where none was likely."""
    cause = one.suspect
    if cause is None or not one.past or cause.said not in (FITS_BEST, LIKELY):
        return ""
    said = in_the_past(cause.cause)
    return f"{said[:1].upper()}{said[1:]} ({_THEN[cause.said]}, by the readings of {one.run})"


def _in_the_past_said(one: RunCauses) -> str:
    """What the change explains and what it does not."""
    cause = one.suspect
    return _then_said(cause) if cause else "the readings did not tell what was wrong"


def _then_said(cause: RankedCause) -> str:
    """A cause that was put right, with what it explains and what it does not."""
    said = f"{in_the_past(cause.cause)} ({_THEN[cause.said]}){_together(cause)}"
    explains = f": that explains {_listed(cause.explains)}" if cause.explains else ""
    others = "".join(f"; {_go_with(part, places)}" for part, places in cause.by_others)
    are = "is" if len(cause.leaves) == 1 else "are"
    leaves = f"; {_listed(cause.leaves)} {are} not explained" if cause.leaves else ""
    speak = "speaks" if len(cause.against) == 1 else "speak"
    against = f"; {_listed(cause.against)} {speak} against it" if cause.against else ""
    alike = f"; {_listed(cause.alike)} would have read the same" if cause.alike else ""
    return f"{said}{explains}{others}{leaves}{against}{alike}"


def _go_with(part: str, places: tuple[str, ...]) -> str:
    return f"{_listed(places)} {'goes' if len(places) == 1 else 'go'} with {part}, which measured off"


def _listed(names: tuple[str, ...]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
