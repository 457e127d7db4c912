"""What a site has besides its sets' pages: the style and script they share, and the index of all sets."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from .set_page import Choices, SetPage

ASSETS = "assets/benchleaf"
_FILES = ("benchleaf.css", "archive.js")


def asset_files() -> list[tuple[str, str]]:
    """The style and the script, each with its path in the site."""
    folder = Path(__file__).parent / "assets"
    return [(f"{ASSETS}/{name}", (folder / name).read_text(encoding="utf-8")) for name in _FILES]


def archive_page(pages: Sequence[SetPage], choices: Choices, *, to_root: str = "../") -> SetPage:
    """The index of all sets: a card for each, and lists by tube, by complaint and by line side.

    ``to_root`` is the way from the index to the root of the site.
    """
    from . import pages as html_pages
    from .archive.index import index
    from .archive.parts_lists import lists_html
    from .dialect import DIALECTS

    words = DIALECTS[choices.dialect]
    found = index(pages, choices)
    html = html_pages.render(
        "index.html.j2",
        top="top",
        index=found,
        words=words,
        lists=lists_html(page.card for page in pages if page.card),
        script=f"{to_root}{ASSETS}/archive.js",
    )
    html = html_pages.with_permalinks(html) if choices.permalinks else html
    names = " ".join(card.title for card in found.cards)
    return SetPage(
        folder="",
        title=found.title,
        description=found.intro,
        html=html,
        search=html_pages.search_html(found.title, "top", [("", "", f"{found.intro} {names}")]),
        entries=tuple((e.level, e.id, e.title) for e in html_pages.headings(html)),
        anchors=html_pages.ids(html),
    )
