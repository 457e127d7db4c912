"""Which place of the line side lies between the two ends of a part."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import product
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS, CHASSIS, LINE, NEUTRAL
from ..record.sections.touchable_words import TOUCHABLE_PARTS

LINE_TO_TOUCHABLE = "line to touchable"
"""Where a part lies that joins the line straight to what a hand may reach: a mains aerial's capacitor."""
ACROSS = "across the line"
"""The place between the two leads of the line, at which no hand is."""

if TYPE_CHECKING:
    from .listed import Listed
    from .network import Network
    from .places import Places


def by_place(
    components: Iterable[Listed], places: Places, network: Network, *, b_minus_on_line: bool
) -> dict[str, tuple[Listed, ...]]:
    """The ``components`` of the parts list by the place of the line side that they lie in, in their order.

    ``b_minus_on_line`` says that B- is one side of the line.
    """
    found: dict[str, tuple[Listed, ...]] = {}
    for listed in components:
        ends = listed.piece.ends
        place = _place_of_ends(ends, places, network, b_minus_on_line) if ends else ""
        found[place] = (*found.get(place, ()), listed)
    found.pop("", None)
    return found


def _place_of_ends(ends: tuple[str, str], places: Places, network: Network, b_minus_on_line: bool) -> str:
    """The place between two ends, by the key it is written under; empty elsewhere.

    An end that is a word of the line side itself counts before what the end is joined to.
    """
    one, other = (places.read(end) for end in ends)
    joined = product(network.joined_to(one), network.joined_to(other))
    found = (_place_between(a.key, b.key, b_minus_on_line) for a, b in ((one, other), *joined))
    return next((place for place in found if place), "")


def _place_between(one: str, other: str, b_minus_on_line: bool) -> str:
    for a, b in ((one, other), (other, one)):
        if b == CHASSIS:
            if a == B_MINUS:
                return "B- to chassis"
            if a in (LINE, NEUTRAL):
                return "line to chassis"
            if a in TOUCHABLE_PARTS:
                return a
        if a in (LINE, NEUTRAL) and b in TOUCHABLE_PARTS:
            return LINE_TO_TOUCHABLE
        if a == LINE and (b in (LINE, NEUTRAL) or (b == B_MINUS and b_minus_on_line)):
            return ACROSS
    return ""
