"""A set as the lists of the archive show it: its name, what it had, its tubes, how far the work has come."""

from __future__ import annotations

import calendar
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from ..report.counted import counted_types

if TYPE_CHECKING:
    from ..pages.rendering import PublishedPicture
    from ..pages.set_page import Choices, SetPage

OTHER = "other"
"""The letter under which names stand that begin with none from A to Z."""
_WIDEST = 960
_MARKS = {"finished": "good", "on the bench": "bench", "waiting": "unknown"}
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Card:
    """One set.

    ``made`` is its year as written, ``decade`` as ``1940s``, empty where not written. ``what`` is the complaint with
    its cause for a finished set, the worst open finding for one on the bench. ``more`` are words by which it is found
    besides those that are shown.
    """

    href: str
    title: str
    name: str
    maker: str
    made: str
    kind: str
    tubes: tuple[str, ...]
    state: str
    what: str
    by: str
    member: str
    year: int | None
    dated: str
    finished: str
    to_get: int
    picture: PublishedPicture | None
    more: str

    def seen_from(self, up: str) -> Card:
        """The card for a page from which ``up`` leads to the index."""
        pic = self.picture
        if pic is not None:
            sources = {form: tuple((up + at, width) for at, width in listed) for form, listed in pic.sources.items()}
            pic = replace(pic, fallback=up + pic.fallback, sources=sources)
        return replace(self, href=up + self.href, picture=pic)

    @property
    def initial(self) -> str:
        """The first letter or figure of its name, for where a picture would be."""
        return initial_of(self.name)

    @cached_property
    def letter(self) -> str:
        """The letter it stands under, from A to Z, or ``other``."""
        return letter_of(self.name)

    @property
    def decade(self) -> str:
        return "" if self.year is None else f"{self.year // 10 * 10}s"

    @property
    def mark(self) -> str:
        """The class of the mark before its state."""
        return _MARKS.get(self.state, "none")

    @property
    def day(self) -> str:
        """The last day its record speaks of: ``28 Mar 2026``."""
        return day(self.dated)


def initial_of(name: str) -> str:
    """The first letter or figure of a name."""
    return next((sign.upper() for sign in name if sign.isalnum()), "?")[:1]


def letter_of(name: str) -> str:
    """The letter that a name stands under, from A to Z, or ``other``."""
    plain = unicodedata.normalize("NFKD", initial_of(name))[:1].upper()
    return plain if plain and plain in LETTERS else OTHER


def day(iso: str) -> str:
    """A date as a list says it; empty for none."""
    if not iso:
        return ""
    at = date.fromisoformat(iso)
    return f"{at.day} {calendar.month_abbr[at.month]} {at.year}"


def by_name(name: str) -> tuple[tuple[int, int, str], ...]:
    """The order of names, in which numbers count as numbers: Minuet 5 stands before Minuet 12."""
    parts = re.findall(r"\d+|\D+", name.casefold())
    return tuple((0, int(p), "") if p.isascii() and p.isdigit() else (1, 0, p) for p in parts)


def href(page: SetPage, choices: Choices) -> str:
    """The address of a set's page from the index."""
    return f"{quote(page.folder)}/" + ("" if choices.directory_urls else "index.html")


def member_of(page: SetPage) -> str:
    """Whose a set is in a club: as its record says, or the folder around the set's own; empty for neither."""
    return (page.card or {}).get("member") or page.folder.rpartition("/")[0].partition("/")[0]


def card_of(page: SetPage, choices: Choices) -> Card:
    """The card of a page that has one. Raises KeyError, TypeError or ValueError where it is not a card."""
    card = page.card or {}
    at = href(page, choices)
    faults = [tuple(fault) for fault in card.get("faults", ())]
    failed = (f"{one['job']} {one['how']}" for one in card.get("failed", ()))
    told = (step for complaint, cause, _ in faults for step in (complaint, cause))
    more = dict.fromkeys((*card["tube_types"], *told, *failed))
    return Card(
        href=at,
        title=" ".join(card["title"].split()),
        name=_name(card),
        maker=card["maker"],
        made=card.get("made") or "",
        kind=re.split("[,:]", card["kind"])[0],
        tubes=counted_types(card["tubes"]),
        state=card["state"],
        what=_what(card, faults),
        by=card.get("by") or member_of(page),
        member=member_of(page),
        year=card["year"],
        dated=card["dated"] or "",
        finished=card.get("finished") or "",
        to_get=len(card.get("wanted", ())),
        picture=_picture(card["picture"], at),
        more=" ".join(more),
    )


def _name(card: Mapping[str, Any]) -> str:
    """Maker and model, what this one is called, and what it is told by from others of one name."""
    parts = (f"{card['maker']} {card['model']}".strip(), card.get("called"), card.get("apart"))
    return ", ".join(part for part in parts if part)


def _what(card: Mapping[str, Any], faults: list[tuple[str, ...]]) -> str:
    """The set's line: complaint and cause, or what is still open; the writer's own sentence where there is neither."""
    complaint, cause = (faults[0][0], faults[0][1]) if faults else ("", "")
    still = card.get("still_open", ())
    if card["state"] == "on the bench" and still:
        return str(still[0][1])
    trail = " → ".join(step for step in (complaint, cause if card["state"] != "waiting" else "") if step)
    return trail or str(card["lead"])


def _picture(picture: Mapping[str, Any] | None, at: str) -> PublishedPicture | None:
    """The narrow variants of a set's front picture, by their addresses from the index."""
    from ..pages.rendering import PublishedPicture

    if not picture:
        return None
    folder = at.removesuffix("index.html")
    narrow = {
        form: tuple((folder + address, width) for address, width in listed if width <= _WIDEST)
        or tuple((folder + address, width) for address, width in listed[:1])
        for form, listed in picture["sources"].items()
    }
    return PublishedPicture(picture["width"], picture["height"], folder + picture["fallback"], narrow)
