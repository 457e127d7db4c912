"""A page as a file that any generator takes: front matter, and HTML in one block that no Markdown reads into."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping

from .set_page import SetPage, WorkingPage
from .site_files import STYLE

_VALUE = r""""[^"]*"|'[^']*'"""
_PIECE = re.compile(rf"<(?P<kept>pre|textarea)\b.*?</(?P=kept)>|<[a-zA-Z/!](?:{_VALUE}|[^'\">])*>|[^<]+|<", re.S)
_VALUES = re.compile(_VALUE)
_LINE_END = re.compile(r"\r\n?|\n")
_PLAINER = str.maketrans({"<": "‹", ">": "›", '"': "”", "`": "’", "{": "(", "}": ")", "[": "(", "]": ")", "\\": "/"})


def markdown_page(page: SetPage | WorkingPage, html: str, to_root: str) -> str:
    """The file of a page. ``to_root`` leads from its address to the root of these pages, where its style lies."""
    style = f'<link rel="stylesheet" href="{to_root}{STYLE}">'
    front = "".join(f"{name}: {value}\n" for name, value in _front_matter(page).items())
    return f'---\n{front}---\n\n<div class="bl-page">{style}{inert(html)}</div>\n'


def inert(html: str) -> str:
    """The same HTML on one line and without opening braces.

    No blank line ends the block early, no line begins with a sign that Markdown knows, and no template language finds
    its brackets in what a restorer typed.
    """
    return "".join(_on_one_line(piece) for piece in _PIECE.finditer(html)).replace("{", "&#123;")


def _on_one_line(piece: re.Match[str]) -> str:
    """A line end stands as a reference where it is part of what is shown or meant, and is a space elsewhere."""
    if piece["kept"]:
        return _LINE_END.sub("&#10;", piece[0])
    kept = _VALUES.sub(lambda value: _LINE_END.sub("&#10;", value[0]), piece[0]) if piece[0][0] == "<" else piece[0]
    return _LINE_END.sub(" ", kept)


def _front_matter(page: SetPage | WorkingPage) -> Mapping[str, str]:
    """What generators ask of a page, each name with its value in YAML. The date is the last that the record speaks of.

    A set has its maker, kind and decade as ``tags``. ``orphan`` is for Sphinx, ``hide`` and ``search`` for Zensical;
    the others pass over them.
    """
    tags = page.tags if isinstance(page, SetPage) else ()
    return {
        "title": _plain(page.title),
        "description": _plain(page.description),
        **({"date": page.updated, "lastmod": page.updated} if page.updated else {}),
        **({"tags": f"[{', '.join(map(_plain, tags))}]"} if tags else {}),
        "orphan": "true",
        "hide": json.dumps(["navigation", "toc"] if page.wide else ["navigation"]),
        **({} if page.search else {"search": json.dumps({"exclude": True})}),
    }


def _plain(text: str) -> str:
    """A text in YAML without the signs of HTML, Markdown and templates: themes put titles out as they come."""
    seen = "".join(sign if sign.isprintable() else " " for sign in text.translate(_PLAINER))
    return json.dumps(" ".join(seen.split()), ensure_ascii=False)
