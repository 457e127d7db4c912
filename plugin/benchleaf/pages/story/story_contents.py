"""A story in parts: what each is called, its list of contents, and the way from one part to the next."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PartPlace:
    """Where a part stands: its title as plain text, and the id at its beginning."""

    title: str
    id: str


def contents(places: Sequence[PartPlace]) -> str:
    """The parts in their order, each a link."""
    items = "".join(f"<li>{_link(place)}</li>" for place in places)
    return f'<nav class="bl-story-parts" aria-label="Parts of the story"><ol>{items}</ol></nav>'


def turning(places: Sequence[PartPlace], at: int) -> str:
    """The links at the end of a part: to the one before it and to the next."""
    before = _link(places[at - 1], "‹&nbsp;") if at else ""
    after = _link(places[at + 1], behind="&nbsp;›") if at + 1 < len(places) else ""
    both = f'<span class="bl-part-before">{before}</span><span class="bl-part-after">{after}</span>'
    return f'<nav class="bl-part-turn" aria-label="Previous and next part">{both}</nav>'


def _link(place: PartPlace, before: str = "", behind: str = "") -> str:
    return f'<a href="#{html.escape(place.id)}">{before}{html.escape(place.title)}{behind}</a>'
