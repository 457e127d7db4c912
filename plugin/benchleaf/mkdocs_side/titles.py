"""Titles of pages as text, which plugins read and write out in their own way, and as HTML, which themes put out."""

from __future__ import annotations

import re
from html import escape
from typing import Any

from ..archive.page_heads import Page

_AMPERSAND = re.compile(r"&amp;(?![\w#])")


def put_text(page: Any, made: Page) -> None:
    """Give the page the title of what was made; one that the navigation gives is the site's own, and stays.

    Its description is harmless as HTML from the first, since in a feed it stands where HTML is expected; an ampersand
    that begins no character reference stays one, for those that show the description as text.
    """
    if _is_ours(page, made):
        page.title = made.title
    page.meta.update(title=made.title, description=_AMPERSAND.sub("&", escape(made.description)))


def put_html(page: Any, made: Page) -> None:
    """The same for the theme: Material puts out ``meta.title`` as it is, the others know the page's title only."""
    if _is_ours(page, made):
        page.title = escape(made.title)
    page.meta.update(title=escape(made.title), description=escape(made.description))


def _is_ours(page: Any, made: Page) -> bool:
    return vars(page).get("title") in (None, made.title, escape(made.title))
