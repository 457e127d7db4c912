"""The index of all sets: which are shown and how densely, what they can be filtered by, and the ways on from there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from ..record.progress import STATES
from ..words import DIALECTS
from .cards import LETTERS, OTHER, Card, by_name, card_of, href
from .lists_across import MOST_ROWS, AcrossSets, Drawer, SetLink, lists_across
from .sets_file import FILE

if TYPE_CHECKING:
    from ..pages.set_page import Choices, SetPage
    from ..words import Words

TITLE = "Sets"
MOST_CARDS, MOST_WITH_PICTURES, MOST_IN_FULL = 12, 120, 500
"""Up to so many sets stand as cards, as rows with a picture, as lines one and all; above that only the newest."""
LEAST_TO_FILTER = 6
BY_NAME, BY_YEAR, NO_YEAR = "by-name", "by-year", "undated"
JOINED = "joined"


@dataclass(frozen=True, slots=True)
class Facet:
    """A property that sets are filtered by, what it is called, and its values."""

    name: str
    title: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Index:
    """All that the index of the archive shows.

    ``cards`` are all sets by name, ``shown`` those that stand in it. ``across`` are the lists across sets.
    """

    title: str
    intro: str
    cards: tuple[Card, ...]
    shown: tuple[Card, ...]
    broken: tuple[SetLink, ...]
    in_part: int
    failed: tuple[SetLink, ...]
    facets: tuple[Facet, ...]
    across: tuple[AcrossSets, ...]

    @property
    def density(self) -> str:
        """How the sets stand: ``cards``, ``rows`` or ``lines``."""
        count = len(self.cards)
        return "cards" if count <= MOST_CARDS else "rows" if count <= MOST_WITH_PICTURES else "lines"

    @property
    def newest_only(self) -> bool:
        """Whether the sets are too many to stand in the index one and all."""
        return len(self.cards) > MOST_IN_FULL

    @property
    def has_pages(self) -> bool:
        """Whether the lists across sets have pages of their own."""
        return len(self.cards) > MOST_CARDS

    @property
    def filters(self) -> bool:
        """Whether there are enough sets to look for one."""
        return len(self.cards) >= LEAST_TO_FILTER

    def letters(self) -> tuple[tuple[str, bool], ...]:
        """The letters that names begin with, each with whether any does; ``other`` only where one does."""
        found = {card.letter for card in self.cards}
        return tuple((letter, letter in found) for letter in LETTERS) + (((OTHER, True),) if OTHER in found else ())


def index(pages: Sequence[SetPage], choices: Choices, drawer: Drawer = ()) -> Index:
    """The index of ``pages`` by title; sets whose record cannot be read or worked out are listed by themselves.

    ``drawer`` is what need not be ordered.
    """
    words = DIALECTS[choices.dialect]
    carded = carded_of(pages, choices)
    cards = tuple(card for card, _ in carded)
    return Index(
        title=TITLE,
        intro=_intro(cards, words),
        cards=cards,
        shown=cards if len(cards) <= MOST_IN_FULL else newest(cards)[:MOST_ROWS],
        in_part=sum(bool(raw.get("not_understood")) for _, raw in carded),
        broken=tuple(SetLink(href(p, choices), p.folder) for p in pages if not (p.card or p.failures)),
        failed=tuple(SetLink(href(p, choices), p.folder) for p in pages if p.failures and not p.card),
        facets=_facets(cards),
        across=lists_across(carded, words, drawer),
    )


def carded_of(pages: Sequence[SetPage], choices: Choices) -> list[tuple[Card, Mapping[str, Any]]]:
    """The sets that have a card, by name, each with the plain data it was made from."""
    read = sorted((p for p in pages if p.card), key=lambda p: by_name(p.title))
    return [(card_of(page, choices), page.card or {}) for page in read]


def newest(cards: Iterable[Card]) -> tuple[Card, ...]:
    """The sets by the last day their records speak of, latest first; those without a day come last."""
    return tuple(sorted(cards, key=lambda card: card.dated, reverse=True))


def reserved(count: int, *, joined: bool = False) -> dict[str, str]:
    """The names below the index that the archive takes for itself where it has so many sets, with what is there.

    ``joined`` says that other archives are joined with it.
    """
    names = {"index.html": "the index of all sets", FILE: f"the archive's file {FILE}"}
    names |= {JOINED: "the pages of the joined archives"} if joined else {}
    if count > MOST_CARDS:
        names |= {name: f"the archive's page {name}" for name in _PAGES}
    if count > MOST_IN_FULL:
        names |= {name: f"the archive's pages {name}" for name in (BY_NAME, BY_YEAR)}
        names |= {DATA: "the archive's file of all sets"}
    return names


DATA = "sets-data.js"
_PAGES = (
    "by-tube",
    "by-member",
    "by-complaint",
    "what-failed",
    "ruled-out",
    "hand-and-line",
    "to-put-right",
    "to-order",
    "chassis-volts",
    "old-parts",
)


def _facets(cards: Sequence[Card]) -> tuple[Facet, ...]:
    """Each property in which the sets differ."""
    states = {card.state for card in cards}
    named = (
        ("state", "State", [state for state in STATES if state in states]),
        ("kind", "Kind", _values(card.kind for card in cards)),
        ("maker", "Maker", _values(card.maker for card in cards)),
        ("decade", "Decade", _values(card.decade for card in cards)),
        ("member", "Member", _values(card.member for card in cards)),
        ("by", "Work by", _values(card.by for card in cards)),
    )
    alike = all(card.by == card.member for card in cards)
    shown = (facet for facet in named if len(facet[2]) > 1 and not (facet[0] == "by" and alike))
    return tuple(Facet(name, title, tuple(values)) for name, title, values in shown)


def _values(found: Iterable[str]) -> list[str]:
    return sorted({value for value in found if value}, key=by_name)


def _intro(cards: Sequence[Card], words: Words) -> str:
    if not cards:
        return "No record in this archive can be read yet."
    number = f"{len(cards)} {words.tube} radio{'s' if len(cards) > 1 else ''}"
    states = Counter(card.state for card in cards)
    counts = [f"{states[state]} {state}" for state in reversed(STATES) if states[state]]
    if counts and states[""]:
        counts.append(f"{states['']} without a state")
    return f"{number}: {', '.join(counts)}." if counts else f"{number}."
