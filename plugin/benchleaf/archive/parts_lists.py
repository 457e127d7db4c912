"""The archive’s two lists about parts as HTML: what to order, and what old parts were like."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from . import orders, part_counts

if TYPE_CHECKING:
    from ..chapters.examine import Examined


def for_card(examined: Examined, title: str) -> dict[str, Any]:
    """What is kept with a set’s card, as plain data, so that the lists need no record to be read again."""
    return {
        "wanted": [orders.as_dict(one) for one in orders.wanted(examined, title)],
        "looked_at": [part_counts.as_dict(one) for one in part_counts.looked_at(examined)],
    }


def lists_html(cards: Iterable[Mapping[str, Any]]) -> str:
    """Both lists from the cards of all sets; empty where nothing is wanted and nothing was measured."""
    from ..pages import rendering
    from .order_list import described, sets_and_parts

    kept = list(cards)
    wanted = (orders.from_dict(one) for card in kept for one in card.get("wanted", ()))
    looked = (part_counts.from_dict(one) for card in kept for one in card.get("looked_at", ()))
    return rendering.render(
        "parts_lists.html.j2",
        order=orders.order(wanted),
        across=part_counts.across(looked),
        described=described,
        sets_and_parts=sets_and_parts,
    )
