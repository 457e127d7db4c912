"""The theme's frame around chapters' pages: rendered for two of a kind, and filled in for the others of that kind.

Two pages are of a kind where nothing that the theme is told of them differs but their FIELDS: address, title and what
else is one of a page alone. The first page's frame with its own fields taken out has to make the second page's, to the
byte; else every page of that kind is rendered. Only the themes that are known to show no more of a page than that are
taken at their word, and only where no other plugin, no hook and no template of the site's own has a say in pages.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from html import escape
from typing import Any

from jinja2 import ChoiceLoader, DictLoader
from jinja2.utils import htmlsafe_json_dumps

from ..archive.page_heads import Heads, Page
from ..pages.set_page import WorkingPage

_THEMES = frozenset(("material", "mkdocs", "readthedocs"))
_PLUGINS = frozenset(("benchleaf", "search", "material/search"))
_NAME, _FRAME = "benchleaf-framed.html", "benchleaf_frame"
_TEMPLATE = f'{{% if {_FRAME} %}}{{{{ {_FRAME} }}}}{{% else %}}{{% include "main.html" %}}{{% endif %}}'
_LEAST = 4
"""Pages of a kind from which on their frame is filled in: two are rendered in any case."""

Fields = Mapping[str, str]
FrameText = tuple[str, str, bool]
"""Text of a frame, then a field that follows it, empty for none, and whether that is written as JSON."""


class Frames:
    """The frames of one build. ``shown`` are MkDocs' pages by their paths; ``heads`` knows what each is made of."""

    def __init__(self, config: Any, env: Any, shown: Mapping[str, Any], heads: Heads) -> None:
        self.kinds: dict[str, object] = {}
        self.first: dict[object, tuple[Fields, str, str]] = {}
        self.frames: dict[object, tuple[list[FrameText], list[FrameText]] | None] = {}
        self.rendered: object = None
        self.ways: Collection[str] | None = None
        own = config.theme.custom_dir or config.hooks or set(config.plugins) - _PLUGINS
        if own or config.theme.name not in _THEMES:
            return
        public = ((uri, page) for uri, page in shown.items() if uri in heads.public)
        kinds = {uri: kind for uri, page in public if (kind := _kind(page, heads.pages[uri])) is not None}
        count = Counter(kinds.values())
        self.kinds = {uri: kind for uri, kind in kinds.items() if count[kind] >= _LEAST}
        for uri in self.kinds:
            shown[uri].meta["template"] = _NAME
        if self.kinds:
            env.loader = ChoiceLoader([env.loader, DictLoader({_NAME: _TEMPLATE})])

    def fill(self, context: Any, page: Any, nav: Any, stand_in: str) -> None:
        """Give the page's template its frame around ``stand_in``, where that is known."""
        self.rendered = None
        kind = self.kinds.get(page.file.src_uri)
        if kind is None:
            return
        del page.meta["template"]
        if self.ways is None:
            self.ways = {way for one in nav.pages for way in _ways(one.url)}
        kind = (kind, next((way for way in _ways(page.url) if way in self.ways), ""))
        if frame := self.frames.get(kind):
            before, after = (_filled(texts, _fields(page)) for texts in frame)
            context[_FRAME] = before + stand_in + after
        elif kind not in self.frames:
            self.rendered = kind

    def learn(self, page: Any, before: str, after: str) -> None:
        """Take up what the theme has rendered around what stands in for the page."""
        kind, fields = self.rendered, _fields(page)
        if kind is None:
            return
        if kind not in self.first:
            self.first[kind] = (fields, before, after)
            return
        of_first, *rendered = self.first.pop(kind)
        forms = _forms(of_first)
        frame = [_taken_apart(text, forms) for text in rendered] if forms else None
        known = frame and [_filled(texts, fields) for texts in frame] == [before, after]
        self.frames[kind] = (frame[0], frame[1]) if frame and known else None


def _kind(page: Any, made: Page) -> object:
    """All that themes are told of a page besides its fields; None where its frame is to be rendered."""
    title = page.title
    plain = title == escape(title) == page.meta.get("title") and title == " ".join(title.split())
    placed = page.parent or page.previous_page or page.next_page or "template" in page.meta
    if not isinstance(made, WorkingPage) or not plain or placed:
        return None
    meta = repr(sorted((key, value) for key, value in page.meta.items() if key not in ("title", "description")))
    there = tuple(name for name, value in _fields(page).items() if value)
    return page.url.count("/"), made.entries, made.anchors[:1], meta, there


def _fields(page: Any) -> Fields:
    """What is one of this page alone; themes put each out as it is, or as JSON in a script."""
    return {
        "canonical": page.canonical_url or "",
        "edit": page.edit_url or "",
        "absolute": page.abs_url or "",
        "url": page.url,
        "path": page.file.src_path,
        "title": page.title,
        "description": page.meta["description"],
    }


def _ways(url: str) -> Iterator[str]:
    """The folders that an address lies in, the innermost first: from there the theme's links are relative."""
    while url := url.rstrip("/").rpartition("/")[0]:
        yield url


def _forms(fields: Fields) -> dict[str, tuple[str, bool]]:
    """Each way of writing a field with that field, and whether it is JSON; none where two fields are alike."""
    written = [(value, (name, False)) for name, value in fields.items() if value]
    as_json = [(str(htmlsafe_json_dumps(value))[1:-1], (name, True)) for value, (name, _) in written]
    forms = [*written, *(one for one, (plain, _) in zip(as_json, written, strict=True) if one[0] != plain)]
    return dict(forms) if len({form for form, _ in forms}) == len(forms) else {}


def _taken_apart(text: str, forms: Mapping[str, tuple[str, bool]]) -> list[FrameText]:
    """A frame taken apart at its page's fields, the longest first where one holds another."""
    longest = sorted(forms, key=len, reverse=True)
    found = [*re.split(f"({'|'.join(map(re.escape, longest))})", text), ""]
    return [(found[at], *forms.get(found[at + 1], ("", False))) for at in range(0, len(found), 2)]


def _filled(texts: list[FrameText], fields: Fields) -> str:
    return "".join(part for text, name, as_json in texts for part in (text, _written(fields.get(name, ""), as_json)))


def _written(value: str, as_json: bool) -> str:
    return str(htmlsafe_json_dumps(value))[1:-1] if as_json else value
