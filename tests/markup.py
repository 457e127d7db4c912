"""HTML of a page taken apart, for tests: whether it is whole, and what it is made of."""

from __future__ import annotations

import html
import re
from html.parser import HTMLParser

EMPTY = frozenset({"br", "hr", "img", "input", "link", "meta", "source"})


class Markup(HTMLParser):
    """The elements of a page. What is closed out of its turn, or not at all, is in ``wrong`` and ``open``."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.wrong: list[str] = []
        self.tags: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.scripts: list[str] = []
        """Attributes that would run something."""
        self.text: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._met(tag, attrs)
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._met(tag, attrs)

    def _met(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            if name in ("href", "xlink:href"):
                self.links.append(value or "")
            if name.startswith("on") or "javascript:" in (value or ""):
                self.scripts.append(name)

    def handle_data(self, data: str) -> None:
        self.text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)


def parsed(text: str) -> Markup:
    """The page's elements. Fails where one is not closed in its turn, or an id is there twice."""
    markup = Markup(text)
    assert not markup.wrong
    assert not markup.open
    assert len(markup.ids) == len(set(markup.ids))
    return markup


def words_of(text: str, between: str = "") -> str:
    """What the page says, with plain spaces; ``between`` takes the place of each tag."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", between, text)).split())
