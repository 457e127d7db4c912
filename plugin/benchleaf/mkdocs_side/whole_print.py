"""The sets in the one page that the plugin print-site makes of the pages in the navigation, where sets do not stand."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

_PRINT = "print-site"
_WIDTHS = re.compile(r'<source [^>]*>|(?<=\s)(?:srcset|sizes)="[^"]*"\s*')


def add_records(plugins: Mapping[str, Any], records: Iterable[Any], section: Callable[[list[Any]], Any]) -> None:
    """Put the pages ``records`` behind those of the navigation, in a section of their own that ``section`` makes.

    What the plugin's own option ``exclude`` leaves out it leaves out of these as of all others.
    """
    printed = plugins.get(_PRINT)
    if printed is None or not printed.config["enabled"]:
        return
    known = list(printed.renderer.items)
    new = [page for page in records if not _holds(known, page)]
    if new:
        printed.renderer.items = [*known, section(new)]


def put_whole(plugins: Mapping[str, Any], page: Any, html: str) -> None:
    """Hand a page over as it is published, not as the search index is given it.

    Its pictures have one address each: the plugin turns no others into such as lead there from its own page.
    """
    if _PRINT in plugins:
        page.html = _WIDTHS.sub("", html)


def _holds(items: Iterable[Any], page: Any) -> bool:
    return any(item is page or _holds(item.children or (), page) for item in items)
