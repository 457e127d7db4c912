"""How far the work on a set has come, in the words that a record says it in. Light: the index of all sets reads it."""

from __future__ import annotations

STATES = WAITING, ON_THE_BENCH, FINISHED = ("waiting", "on the bench", "finished")
STATE_WORDS = {
    **dict.fromkeys(("to do", "in the queue", "not started", "not begun", "untouched"), WAITING),
    **dict.fromkeys(("in progress", "under way", "in work", "work in progress", "being worked on"), ON_THE_BENCH),
    **dict.fromkeys(("done", "complete", "completed", "restored", "ready"), FINISHED),
}
"""Other words for them."""
