"""How far the work on a set has come, in the words that a record says it in. Light: the index of all sets reads it."""

from __future__ import annotations

STATES = WAITING, ON_THE_BENCH, FINISHED = ("waiting", "on the bench", "finished")
