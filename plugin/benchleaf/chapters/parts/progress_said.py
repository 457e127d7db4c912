"""How far the work on the parts has come, in one sentence: of the record and of the parts' own page."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from ...circuit.work import OPEN_STATES
from ...report.sentence import listed, text_of
from .kept_words import STAYS

if TYPE_CHECKING:
    from .findings import Progress

_TO_DO = {"reform": "to reform", "to do": "to do"}


def progress_in_words(progress: Progress) -> str:
    """``Of 25 parts in the record 11 were replaced, 1 restuffed and 13 kept; none waits.``"""
    states = dict(progress.by_state)
    waiting = [(state, states.pop(state)) for state, _ in progress.by_state if state in OPEN_STATES]
    said = [f"{count} {state}" for state, count in sorted(states.items(), key=lambda entry: entry[0] in STAYS)]
    if said:
        verb = "was" if said[0].startswith("1 ") else "were"
        said[0] = said[0].replace(" ", f" {verb} ", 1)
    of = "Of 1 part" if progress.total == 1 else f"Of {progress.total} parts"
    if not waiting:
        return f"{of} in the record {joined(said)}{'' if progress.looked_at else '; none waits'}."
    alone = waiting[0][0] if len(waiting) == 1 else ""
    if alone in _TO_DO:
        waits = f"{progress.open} {'is' if progress.open == 1 else 'are'} still {_TO_DO[alone]}"
    else:
        of_each = joined(f"{count} {_TO_DO.get(state, state)}" for state, count in waiting)
        waits = f"{progress.open} still {'waits' if progress.open == 1 else 'wait'}: {of_each}"
    return f"{of} in the record {joined(said)}; {waits}." if said else f"{of} in the record {waits}."


def joined(words: Iterable[str]) -> str:
    """``C8, C9 and C12``."""
    return text_of(listed(((each,) for each in words), ", ", " and "))
