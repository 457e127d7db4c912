"""The index of all sets: the page of an archive."""

from __future__ import annotations

from collections.abc import Sequence

from ..pages.set_page import Choices, SetPage
from ..pages.site_files import ASSETS


def archive_page(pages: Sequence[SetPage], choices: Choices, *, to_root: str = "../") -> SetPage:
    """The index of all sets: a card for each, and lists by tube, by complaint and by line side.

    ``to_root`` is the way from the index to the root of the site.
    """
    from ..pages import rendering
    from ..words import DIALECTS
    from .in_one_print import offered
    from .index import index
    from .parts_lists import lists_html

    words = DIALECTS[choices.dialect]
    found = index(pages, choices)
    html = rendering.render(
        "index.html.j2",
        top="top",
        index=found,
        words=words,
        lists=lists_html(page.card for page in pages if page.card),
        prints=offered([page.card for page in pages if page.card]),
        script=f"{to_root}{ASSETS}/archive.js",
    )
    html = rendering.with_permalinks(html) if choices.permalinks else html
    names = " ".join(card.title for card in found.cards)
    return SetPage(
        folder="",
        title=found.title,
        description=found.intro,
        html=html,
        search=rendering.search_html(found.title, "top", [("", "", f"{found.intro} {names}")]),
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
    )
