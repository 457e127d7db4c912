"""What search engines and other programs are told of a page, in the vocabulary of schema.org, release 30.0.

A set's record is a TechArticle about a Product; a page of the set is a TechArticle that is part of it; the index is a
CollectionPage of an ItemList. Nothing is told that the page itself does not show, and nothing that may be private.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from ..pages.set_page import SetPage, WorkingPage

Data = dict[str, Any]
_CATEGORY = "Vacuum-tube radio receiver"
_IN_SCRIPT = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


def set_data(page: SetPage, at: str, index: Data | None, picture: str) -> Data | None:
    """The record of a set; None where its record could not be read.

    ``at`` is its address on the web and ``picture`` that of its photo, empty where not known; ``index`` names the page
    of all sets.
    """
    if not page.card:
        return None
    return _article(page, page.updated, at) | _filled(image=picture, about=_product(page.card), isPartOf=index)


def working_data(page: WorkingPage, at: str, record: SetPage | None, part_of: Data) -> Data:
    """A page beside the record ``record``, or beside the index of all sets; ``part_of`` names that."""
    about = _product(record.card) if record and record.card else None
    updated = page.updated or (record.updated if record else None)
    kind = {} if record else {"@type": "CollectionPage"}
    return _article(page, updated, at) | kind | _filled(about=about, isPartOf=part_of)


def index_data(page: SetPage, at: str, count: int, listed: Sequence[tuple[str, str]]) -> Data:
    """The index of ``count`` sets, of which ``listed`` are those it shows: each its title and its address."""
    items = [
        {"@type": "ListItem", "position": number, "name": title} | _filled(url=address)
        for number, (title, address) in enumerate(listed, 1)
    ]
    many = {"@type": "ItemList", "numberOfItems": count, "itemListElement": items}
    return _page("CollectionPage", page, at) | {"mainEntity": many}


def named(kind: str, name: str, at: str) -> Data:
    """A page by its name and its address, as another page speaks of it."""
    return {"@type": kind, "name": name} | _filled(url=at)


def as_script(data: Data) -> str:
    """A block of data for the head of a page, in which no text can end the block or begin a comment.

    A browser runs no such block, so that no content security policy stops it.
    """
    text = json.dumps(data, ensure_ascii=False)
    for sign, escaped in _IN_SCRIPT.items():
        text = text.replace(sign, escaped)
    return f'<script type="application/ld+json">{text}</script>'


def _article(page: SetPage | WorkingPage, updated: str | None, at: str) -> Data:
    return _page("TechArticle", page, at) | {"headline": page.title} | _filled(dateModified=updated)


def _page(kind: str, page: SetPage | WorkingPage, at: str) -> Data:
    told = {"@context": "https://schema.org"} | named(kind, page.title, at) | {"inLanguage": "en"}
    return told | _filled(description=page.description)


def _product(card: Mapping[str, Any]) -> Data:
    maker, model, year = str(card["maker"]), str(card["model"]), card.get("year")
    made_by = {"@type": "Organization", "name": maker} if maker else None
    return {"@type": "Product", "name": f"{maker} {model}".strip(), "category": _CATEGORY} | _filled(
        model=model, manufacturer=made_by, productionDate=str(year) if year else ""
    )


def _filled(**told: object) -> Data:
    return {name: value for name, value in told.items() if value}
