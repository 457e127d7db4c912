"""Sets of one maker and model told apart wherever they are named: by whose they are, or else by their folders.

A page is kept by its own record alone and knows of no other, so the names are put in place when all pages are made.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from html import escape

from markupsafe import escape as template_escape

from ..pages.set_page import OutFile, SetPage, WorkingPage
from .cards import member_of

_WHERE_NAMED = re.compile(
    r"<title>.*?</title>|<h1\b.*?</h1>|<nav class=\"bl-crumbs\".*?</nav>|\bdata-title=\"[^\"]*\"", re.S
)
"""Where a page or a sheet has the set's name; a story and notes may have it too, and keep it as it was written."""


@dataclass(frozen=True, slots=True)
class NamedSet:
    """A set by its ``name``, with whose it is (empty where nobody says) and its folder below that of all sets."""

    name: str
    member: str
    folder: str


def told_apart(named: Sequence[NamedSet]) -> list[str]:
    """What each set's name is to be followed by; empty for a name that no other set has."""
    groups: dict[str, list[int]] = defaultdict(list)
    for n, one in enumerate(named):
        groups[_flat(one.name)].append(n)
    said = [""] * len(named)
    for group in groups.values():
        if len(group) > 1:
            for n, label in zip(group, _labels([named[n] for n in group]), strict=True):
                said[n] = label
    return said


def _labels(alike: Sequence[NamedSet]) -> list[str]:
    """The shortest of a set's ways to be told from the others; all their whole folders where that leaves two alike."""
    ways = [(one.member, one.folder.rpartition("/")[2], one.folder) for one in alike]
    counts = [Counter(map(_flat, column)) for column in zip(*ways, strict=True)]
    labels = [
        next((way for way, count in zip(of_set, counts, strict=True) if way and count[_flat(way)] == 1), of_set[-1])
        for of_set in ways
    ]
    distinct = len(set(map(_flat, labels))) == len(labels)
    return labels if distinct else [one.folder for one in alike]


def _flat(name: str) -> str:
    return " ".join(name.split()).casefold()


def with_names_told_apart(pages: Sequence[SetPage]) -> list[SetPage]:
    """The pages; those of one maker and model have, wherever they name the set, what it is told from the others by."""
    carded = [n for n, page in enumerate(pages) if page.card]
    said = told_apart([NamedSet(_name(pages[n]), member_of(pages[n]), pages[n].folder) for n in carded])
    made = list(pages)
    for n, label in zip(carded, said, strict=True):
        if label:
            made[n] = _renamed(pages[n], label)
    return made


def _name(page: SetPage) -> str:
    card = page.card or {}
    return " ".join(str(card.get(key) or "") for key in ("maker", "model", "called"))


def _renamed(page: SetPage, label: str) -> SetPage:
    old, new = page.title, f"{page.title}, {label}"
    card = {
        **(page.card or {}),
        "title": new,
        "apart": label,
        "wanted": [{**one, "set": new} for one in (page.card or {}).get("wanted", ())],
    }
    return replace(
        page,
        title=new,
        html=_named(page.html, old, new),
        search=_named(page.search, old, new),
        card=card,
        files=tuple(_file(file, old, new) for file in page.files),
        workings=tuple(_working(one, old, new) for one in page.workings),
    )


def _working(one: WorkingPage, old: str, new: str) -> WorkingPage:
    return replace(
        one,
        title=one.title.replace(old, new),
        html=_named(one.html, old, new),
        search=_named(one.search, old, new),
    )


def _file(file: OutFile, old: str, new: str) -> OutFile:
    if file.text is None or not file.path.endswith(".html"):
        return file
    return replace(file, text=_named(file.text, old, new))


def _named(html: str, old: str, new: str) -> str:
    """Each way of escaping is that of one who wrote the name there: a template, or what is given to the search."""
    ways = {escape(old): escape(new), str(template_escape(old)): str(template_escape(new))}

    def renamed(found: re.Match[str]) -> str:
        text = found[0]
        way = next((way for way in ways if way in text), None)
        return text if way is None else text.replace(way, ways[way], 1)

    return _WHERE_NAMED.sub(renamed, html)
