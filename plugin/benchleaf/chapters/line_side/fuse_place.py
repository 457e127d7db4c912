"""Where the fuse of a set belongs, by its plug and its switch."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...words import Words
    from .described import DescribedState

EITHER_WAY = "two-pin, either way"


def goes_either_way(described: DescribedState) -> bool:
    """Whether the plug is written to fit both ways round, so that neither lead of the cord is always the hot one."""
    return described.plug == EITHER_WAY


def is_misplaced(described: DescribedState) -> bool:
    """Whether a fuse is written to be elsewhere than in the hot lead, though the plug says which lead that is."""
    fuse = described.fuse
    return fuse is not None and fuse.place not in ("", "hot lead") and not goes_either_way(described)


def belongs(described: DescribedState, words: Words) -> str:
    """Where it belongs, in whole sentences."""
    if not goes_either_way(described):
        return f"The fuse belongs in the {words.hot} lead, before the switch, and nowhere else."
    behind = (
        "The double-pole switch parts both leads: switch off, and pull the plug, before a blown fuse is looked at."
        if described.switch == "double-pole"
        else "So it may with the switch off, unless that breaks both leads: nothing but pulling the plug is sure."
    )
    return (
        f"This plug goes in either way, so that neither lead is always the {words.hot} one. A fuse before the "
        "switch opens the "
        f"set’s circuit in either lead; one in each lead also opens where either lead touches {words.earthed} metal. "
        f"With the plug one way round the set stays at {words.line} voltage behind a blown fuse. {behind}"
    )


def fitted_into(described: DescribedState, words: Words) -> str:
    """Into which lead a fuse goes, as it stands in the list of steps: as written, or where it belongs instead."""
    fuse = described.fuse
    place = fuse.place if fuse else ""
    named = place if place == "both leads" else f"the {words.of_key(place)}"
    if goes_either_way(described):
        return f"into {named if place else 'either lead'}, before the switch"
    if place in ("", "hot lead"):
        return f"into the {words.hot} lead, before the switch{'' if place else ' (its lead is not written)'}"
    return f"into the {words.hot} lead alone, before the switch, though it is written in {named}"
