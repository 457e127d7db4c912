"""The names of all sets as a script: a page opened from a disk may load a script, but no other file."""

from __future__ import annotations

import json
from collections.abc import Sequence

from .cards import Card


def data_script(cards: Sequence[Card]) -> str:
    """What the filter looks through where the index does not hold all sets. ``archive.js`` reads it by position."""
    kinds, states = sorted({card.kind for card in cards}), sorted({card.state for card in cards})
    makers = sorted({card.maker for card in cards})
    members = sorted({name for card in cards for name in (card.by, card.member)})
    at = [{value: n for n, value in enumerate(values)} for values in (kinds, states, makers, members)]
    rows = [
        [
            card.href, card.name, card.made, card.what, " ".join(card.tubes), at[0][card.kind], at[1][card.state],
            at[2][card.maker], at[3][card.by], card.year or 0, card.dated, card.more,
            at[3][card.member],
        ]
        for card in cards
    ]  # fmt: skip
    marks = {card.state: card.mark for card in cards}
    data = {"kinds": kinds, "states": states, "makers": makers, "members": members, "marks": marks, "rows": rows}
    return f"window.benchleafSets = {json.dumps(data, separators=(',', ':'))};\n"
