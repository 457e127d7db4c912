"""Pages of many sets, and what stands on them."""

from __future__ import annotations

from typing import Any

import makers
from benchleaf.archive.cards import Card, card_of
from benchleaf.pages.set_page import Choices, SetPage

BROKEN = SetPage("ruined", "ruined: the record cannot be read", "", "", "", (), ())


SETS = [
    makers.carded_page(
        "minuet-12", "Minuet 12", year=1947, state="finished", tubes=["50L6", "12BE6"], tube_types=["50L6GT", "12BE6"],
        faults=[["hum after ten minutes", "C7, leaky", "replaced"]], line_side="B- to chassis: 1 meg and 3.3 nF Y1",
        still_open=[[7, "V4 grid is positive."]], open_count=3,
    ),
    makers.carded_page("minuet-5", "Minuet 5", year=1949, state="on the bench", tubes=["50L6GT"]),
    makers.carded_page("oxbow", "Minuet 7", "Oxbow", state="waiting", line_side="not listed: not finished"),
    BROKEN,
]  # fmt: skip


def card(**given: Any) -> Card:
    return card_of(makers.carded_page("one", "One", **given), Choices())
