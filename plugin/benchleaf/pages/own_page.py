"""A page of a site's own as HTML, for the site that has no generator to read its Markdown."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from html import unescape
from pathlib import PurePosixPath
from urllib.parse import urlsplit

from .set_page import WorkingPage

READ = ("abbr", "admonition", "attr_list", "def_list", "footnotes", "md_in_html", "nl2br", "sane_lists", "smarty")
"""Extensions of Markdown that a site may ask for here: those that come with Python-Markdown and change what is read."""
ALWAYS = ("tables", "fenced_code", "toc")
"""Extensions that are always read, as MkDocs does."""
_FRONT = re.compile(r"\A\ufeff?---[ \t]*\n(.*?)^(?:---|\.\.\.)[ \t]*(?:\n|\Z)", re.S | re.M)
_COMMENT = re.compile(r"<!--.*?-->", re.S)
_HEADING = re.compile(r'<h([1-6])\b[^>]*?\bid="([^"]*)"[^>]*>(.*?)</h\1>', re.S)
_TITLE = re.compile(r"<h1\b[^>]*>(.*?)</h1>", re.S)
_PARAGRAPH = re.compile(r"<p\b[^>]*>(.*?)</p>", re.S)
_LINK = re.compile(r'<a\b[^>]*?\shref="([^"]+)"')
_ID = re.compile(r'<[a-z][^>]*?\s(?:id|name)="([^"]+)"')
_LONGEST_ABOUT = 200


@dataclass(frozen=True)
class OwnText:
    """A page as it lies: what its front matter says, its Markdown, and the lines of the file before that."""

    said: Mapping[str, str]
    markdown: str
    above: int

    @classmethod
    def of(cls, text: str) -> OwnText:
        """The parts of a page's file. Front matter that is no YAML says nothing, and is no part of the page either."""
        found = _FRONT.match(text)
        if found is None:
            return cls({}, text.removeprefix("\ufeff"), 0)
        return cls(_said(found[1]), text[found.end() :], found[0].count("\n"))


def _said(front: str) -> dict[str, str]:
    """Title and description; of anything else a page may say, nothing is made here."""
    import yaml

    try:
        read = yaml.load(front, getattr(yaml, "CSafeLoader", yaml.SafeLoader))
    except (ValueError, RecursionError, yaml.YAMLError):
        return {}
    known = read if isinstance(read, dict) else {}
    return {name: str(known[name]) for name in ("title", "description") if isinstance(known.get(name), str | int)}


def own_page(
    uri: str, text: OwnText, pieces: Mapping[str, str], title: str, extensions: Collection[str], language: str
) -> WorkingPage:
    """The page at ``uri`` with its ``pieces`` in place of their comments.

    ``title`` is what the site's navigation calls it, empty where it does not. HTML in the Markdown goes out as it is,
    as every generator hands it on: the page is the site's own.
    """
    from markdown import Markdown

    from . import rendering

    reader = Markdown(extensions=[*ALWAYS, *(name for name in READ if name in extensions)])
    made = reader.convert(text.markdown)
    heading = _TITLE.search(made)
    first = rendering.plain_text(heading[1]) if heading else ""
    called = title or text.said.get("title", "") or first or _by_name(uri)
    paragraph = next((rendering.plain_text(one[1]) for one in _PARAGRAPH.finditer(_COMMENT.sub("", made))), "")
    about = text.said.get("description", "") or paragraph or called
    search = rendering.search_html(called, "", list(_sections(made)))
    links = tuple(dict.fromkeys(one for link in _LINK.findall(made) if _is_way(one := unescape(link))))
    anchors = tuple(_ID.findall(made))
    for mark, piece in pieces.items():
        made = made.replace(mark, piece, 1)
    html = rendering.render("own_page.html.j2", html=made, language=language)
    return WorkingPage(uri, called, _shortened(about), html, (), anchors, links, search=search)


def _by_name(uri: str) -> str:
    way = PurePosixPath(uri)
    name = way.parent.name if way.stem == "index" and way.parent.name else way.stem
    return name.replace("-", " ").replace("_", " ").strip().capitalize() or "Page"


def _shortened(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= _LONGEST_ABOUT else f"{words[: _LONGEST_ABOUT - 1].rstrip()}…"


def _is_way(href: str) -> bool:
    """Whether a link leads somewhere on this site, by its way from the page."""
    try:
        parts = urlsplit(href)
    except ValueError:
        return False
    return not parts.scheme and not parts.netloc and bool(parts.path) and not parts.path.startswith("/")


def _sections(html: str) -> Iterator[tuple[str, str, str]]:
    """What the search is given: id, heading and text of each piece of the page, without what only a program reads."""
    from . import rendering

    shown = re.sub(r"<(script|style)\b.*?</\1>", " ", _COMMENT.sub("", html), flags=re.S)
    heads = list(_HEADING.finditer(shown))
    ends = [one.start() for one in heads[1:]] + [len(shown)] * bool(heads)
    before = rendering.plain_text(shown[: heads[0].start()] if heads else shown)
    if before:
        yield "", "", before
    for head, end in zip(heads, ends, strict=True):
        text = rendering.plain_text(shown[head.end() : end])
        if head[1] != "1":
            yield unescape(head[2]), rendering.plain_text(head[3]), text
        elif text:
            yield "", "", text
