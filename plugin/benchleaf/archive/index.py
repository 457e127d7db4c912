"""What only shows across sets: the cards of the index, sets by tube and by complaint, and the line-side list."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from ..record.progress import STATES
from ..words import DIALECTS

if TYPE_CHECKING:
    from ..pages.rendering import PublishedPicture
    from ..pages.set_page import Choices, SetPage

TITLE = "Sets"
_WIDEST_ON_A_CARD = 960


@dataclass(frozen=True)
class Card:
    """One set as the index shows it. ``sought`` is what the text filter looks through, in small letters."""

    href: str
    title: str
    kind: str
    tubes: tuple[str, ...]
    state: str
    lead: str
    standout: str
    severity: int
    year: int | None
    dated: str
    picture: PublishedPicture | None
    sought: str


@dataclass(frozen=True, slots=True)
class SetLink:
    """A set to link to, with what is said of it there."""

    href: str
    title: str
    remark: str = ""


@dataclass(frozen=True)
class SetGroup:
    """Sets that have something in common: a type of tube, a complaint."""

    name: str
    links: tuple[SetLink, ...]


@dataclass(frozen=True)
class Index:
    """All that the index of the archive shows."""

    title: str
    intro: str
    cards: tuple[Card, ...]
    broken: tuple[SetLink, ...]
    failed: tuple[SetLink, ...]
    by_tube: tuple[SetGroup, ...]
    by_complaint: tuple[SetGroup, ...]
    line_side: tuple[SetLink, ...]
    kinds: tuple[str, ...]
    states: tuple[str, ...]


def index(pages: Sequence[SetPage], choices: Choices) -> Index:
    """The index of ``pages`` by title; sets whose record cannot be read or worked out are listed by themselves."""
    read = sorted((p for p in pages if p.card), key=lambda p: _by_name(p.title))
    carded = [(_href(page, choices), page.card or {}) for page in read]
    cards = tuple(_card(href, card) for href, card in carded)
    states = Counter(card.state for card in cards)
    return Index(
        title=TITLE,
        intro=_intro(cards, states, DIALECTS[choices.dialect].tube),
        cards=cards,
        broken=tuple(SetLink(_href(p, choices), p.folder) for p in pages if not (p.card or p.failures)),
        failed=tuple(SetLink(_href(p, choices), p.folder) for p in pages if p.failures and not p.card),
        by_tube=_grouped(carded, "tube_types"),
        by_complaint=_grouped(carded, "complaints"),
        line_side=tuple(
            SetLink(href, str(card["title"]), str(card["line_side"]))
            for href, card in carded
            if card.get("line_side") and card.get("state") == "finished"
        ),
        kinds=tuple(sorted({c.kind for c in cards if c.kind})),
        states=tuple(state for state in STATES if states[state]),
    )


def _href(page: SetPage, choices: Choices) -> str:
    return f"{quote(page.folder)}/" + ("" if choices.directory_urls else "index.html")


def _by_name(name: str) -> tuple[tuple[int, int, str], ...]:
    """Numbers in a name count as numbers: Minuet 5 stands before Minuet 12."""
    parts = re.findall(r"\d+|\D+", name.casefold())
    return tuple((0, int(p), "") if p.isascii() and p.isdigit() else (1, 0, p) for p in parts)


def _card(href: str, card: Mapping[str, Any]) -> Card:
    standouts = card.get("standouts") or [""]
    tubes = tuple(card.get("tubes", ()))
    said = [card["title"], card["kind"], *tubes, *card.get("tube_types", ()), *card.get("complaints", ())]
    return Card(
        href=href,
        title=card["title"],
        kind=card["kind"],
        tubes=tubes,
        state=card["state"],
        lead=card["lead"],
        standout=standouts[0],
        severity=card.get("severity", 1),
        year=card.get("year"),
        dated=card.get("dated") or "",
        picture=_picture(card.get("picture"), href),
        sought=" ".join([*said, card["state"], card["lead"], standouts[0]]).lower(),
    )


def _picture(picture: Mapping[str, Any] | None, href: str) -> PublishedPicture | None:
    from ..pages.rendering import PublishedPicture

    if not picture:
        return None
    folder = href.removesuffix("index.html")
    narrow = {
        form: tuple((folder + address, width) for address, width in listed if width <= _WIDEST_ON_A_CARD)
        or tuple((folder + address, width) for address, width in listed[:1])
        for form, listed in picture["sources"].items()
    }
    return PublishedPicture(picture["width"], picture["height"], folder + picture["fallback"], narrow)


def _intro(cards: Sequence[Card], states: Mapping[str, int], tube: str) -> str:
    if not cards:
        return "No record in this archive can be read yet."
    number = f"{len(cards)} {tube} radio{'s' if len(cards) > 1 else ''}"
    counts = [f"{states[state]} {state}" for state in STATES if states.get(state)]
    return f"{number}: {', '.join(counts)}." if counts else f"{number}."


def _grouped(carded: Sequence[tuple[str, Mapping[str, Any]]], key: str) -> tuple[SetGroup, ...]:
    groups: dict[str, list[SetLink]] = {}
    for href, card in carded:
        for name in dict.fromkeys(card.get(key, ())):
            groups.setdefault(name, []).append(SetLink(href, card["title"]))
    return tuple(SetGroup(name, tuple(links)) for name, links in sorted(groups.items(), key=lambda g: _by_name(g[0])))
