"""The heads of the pages of sets: what stands there for those who only see a link, and for programs.

The themes write some of it themselves, and so do other plugins. What is there already stays as it is.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from html import escape
from pathlib import PurePosixPath
from typing import Any
from urllib.parse import quote, urljoin

from ..pages.set_page import Choices, SetPage, WorkingPage
from .cards import by_name
from .index import MOST_IN_FULL
from .linked_data import Data, as_script, index_data, named, set_data, working_data
from .lists_across import MOST_ROWS

Page = SetPage | WorkingPage
Pictured = tuple[str, int, int]
"""A picture's address, its width and its height in pixels."""
_PAGE = "index.md"


@dataclass(frozen=True)
class Heads:
    """The pages of a site's sets by their paths in it; ``public`` are the paths of those that everybody sees."""

    pages: Mapping[str, Page]
    public: frozenset[str]
    choices: Choices
    site_name: str

    def day(self, uri: str) -> str | None:
        """The last day that the record behind a page speaks of, as ISO text; of all records for the index."""
        record = self._record(uri)
        if record is not None:
            return record.updated
        return max((page.updated for page in self.sets.values() if page.updated), default=None)

    def with_head(self, output: str, uri: str, at: str) -> str:
        """A finished page with what its head lacks. ``at`` is its address on the web, empty where that is not known."""
        head, end, rest = output.partition("</head>")
        if not end:
            return output
        lacking = [line for mark, line in self._lines(uri, at) if not re.search(mark, head)]
        return head + "\n".join(lacking) + end + rest

    def _lines(self, uri: str, at: str) -> Iterator[tuple[str, str]]:
        """What may stand in the head, each piece with how it is known to be there."""
        page = self.pages[uri]
        description = escape(" ".join(page.description.split()))
        yield r"<meta[^>]+\bname=.?description\b", f'<meta name="description" content="{description}">'
        if at:
            yield r"<link[^>]+\brel=.?canonical\b", f'<link rel="canonical" href="{escape(at)}">'
        if uri not in self.public:
            return
        photo = self._photo(uri, at)
        picture = photo or self._drawn(uri, at)
        lines = [f'<meta property="{name}" content="{escape(value)}">' for name, value in self._card(uri, at, picture)]
        yield r"<meta[^>]+\bproperty=.?og:", "\n".join(lines)
        size = "summary_large_image" if picture else "summary"
        yield r"<meta[^>]+\bname=.?twitter:card\b", f'<meta name="twitter:card" content="{size}">'
        data = self._data(uri, at, photo[0] if photo else "")
        if data:
            yield r"(?!)", as_script(data)

    def _card(self, uri: str, at: str, picture: Pictured | None) -> Iterator[tuple[str, str]]:
        """What stands on the card that a link to the page is shown as, in the words of the Open Graph protocol."""
        page, record = self.pages[uri], self._record(uri)
        front = isinstance(page, WorkingPage) and self._above(uri) is None
        yield "og:type", "website" if front or uri == self._index else "article"
        yield "og:title", page.title
        yield "og:description", page.description
        yield "og:site_name", self.site_name
        if at:
            yield "og:url", at
        if picture and record:
            address, width, height = picture
            yield "og:image", address
            yield "og:image:width", str(width)
            yield "og:image:height", str(height)
            yield "og:image:alt", record.title

    def _data(self, uri: str, at: str, picture: str) -> Data | None:
        page, index = self.pages[uri], self._index
        if uri == index and isinstance(page, SetPage):
            return index_data(page, at, len(self.sets), self._listed(uri, at))
        of_all = named("CollectionPage", self.pages[index].title, self._from(uri, at, index)) if index else None
        if isinstance(page, SetPage):
            return set_data(page, at, of_all, picture)
        above, record = self._above(uri), self._record(uri)
        if above is None:
            return None
        part_of = named("TechArticle", self.pages[above].title, self._from(uri, at, above)) if record else of_all
        return working_data(page, at, record, part_of or {})

    def _listed(self, uri: str, at: str) -> list[tuple[str, str]]:
        """The sets that the index shows, each with its address."""
        sets = sorted(self.sets.items(), key=lambda item: by_name(item[1].title))
        if len(sets) > MOST_IN_FULL:
            sets = sorted(sets, key=lambda item: item[1].updated or "", reverse=True)[:MOST_ROWS]
        return [(page.title, self._from(uri, at, place)) for place, page in sets]

    def _photo(self, uri: str, at: str) -> Pictured | None:
        """The photo at the top of the set; None without one, and where the site has no address."""
        picture, place = self._of_card(uri, "picture"), self._record_uri(uri)
        if not (at and picture and place):
            return None
        href, width = _widest(picture)
        return urljoin(self._from(uri, at, place), href), width, round(picture["height"] * width / picture["width"])

    def _drawn(self, uri: str, at: str) -> Pictured | None:
        """The picture drawn for links to a set that has no photo."""
        picture, place = self._of_card(uri, "link_picture"), self._record_uri(uri)
        if not (at and picture and place):
            return None
        return urljoin(self._from(uri, at, place), picture["href"]), picture["width"], picture["height"]

    def _of_card(self, uri: str, name: str) -> Mapping[str, Any] | None:
        record = self._record(uri)
        return record.card.get(name) if record and record.card else None

    def _from(self, uri: str, at: str, other: str | None) -> str:
        """The address of ``other`` on the web, where that of ``uri`` is ``at``."""
        if not at or other is None:
            return ""
        way = posixpath.relpath(posixpath.dirname(other) or ".", posixpath.dirname(uri) or ".")
        return urljoin(at, f"{quote(way)}/" + ("" if self.choices.directory_urls else "index.html"))

    def _record(self, uri: str) -> SetPage | None:
        """The set that a page tells of; None for one that tells of all sets."""
        place = self._record_uri(uri)
        page = self.pages[place] if place else None
        return page if isinstance(page, SetPage) else None

    def _record_uri(self, uri: str) -> str | None:
        place = uri if isinstance(self.pages[uri], SetPage) else self._above(uri)
        return None if place == self._index else place

    def _above(self, uri: str) -> str | None:
        """The record or the index that a page lies below; asked some times of each page."""
        if uri not in self._known_above:
            ways = ((_PAGE if str(way) == "." else f"{way}/{_PAGE}") for way in PurePosixPath(uri).parent.parents)
            found = (place for place in ways if isinstance(self.pages.get(place), SetPage))
            self._known_above[uri] = next(found, None)
        return self._known_above[uri]

    @cached_property
    def _known_above(self) -> dict[str, str | None]:
        return {}

    @cached_property
    def _index(self) -> str | None:
        return next((uri for uri, page in self.pages.items() if isinstance(page, SetPage) and not page.folder), None)

    @cached_property
    def sets(self) -> dict[str, SetPage]:
        """The public sets whose records could be read."""
        pages = ((uri, self.pages[uri]) for uri in sorted(self.public))
        return {uri: page for uri, page in pages if isinstance(page, SetPage) and page.folder and page.card}


def _widest(picture: Mapping[str, Any]) -> tuple[str, int]:
    """The widest JPEG of a card's picture, which every reader of heads can show, and its width."""
    href, width = max(picture["sources"]["jpeg"], key=lambda one: one[1])
    return str(href), int(width)
