"""Python's search for garbage that holds itself, made less often: a build makes much, and little of it is garbage."""

from __future__ import annotations

import gc

_SELDOM = 100_000
"""New objects from one search to the next. With Python's own number a fifth of the time of a build is searching."""


def search_seldom() -> None:
    """Look for garbage seldom in this process, unless it does already, or not at all."""
    often, *older = gc.get_threshold()
    if 0 < often < _SELDOM:
        gc.set_threshold(_SELDOM, *older)
