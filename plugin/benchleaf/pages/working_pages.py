"""The chapters of one set in full: a page each, and all of them on one page for paper."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .set_page import Choices, WorkingPage
from .site_files import ASSETS_MARK
from .targets import led, one_deeper

if TYPE_CHECKING:
    from ..chapters.order import Chapter
    from .record_page import RecordPage

FULL_WORKING = "full-working.html"
SAME_CHASSIS = "<!-- benchleaf same chassis -->"
"""What stands in a chapter in place of the readings of other sets on the same chassis, until all sets are known."""
_HEADING = re.compile(r"(</?h)([34])\b")


@dataclass(frozen=True)
class WorkingText:
    """A chapter in full as HTML without its own heading, and the ids in it."""

    chapter: Chapter
    inner: str
    ids: tuple[str, ...]


def working_page(
    page: RecordPage, set_title: str, texts: Sequence[WorkingText], places: Mapping[str, str], choices: Choices
) -> WorkingPage:
    """The page of the chapter ``texts[0]``, with those that are told within it below.

    ``places`` says where the ids of the set's other pages are from there.
    """
    from . import rendering

    chapter = texts[0].chapter
    html = rendering.render(
        "working.html.j2",
        top=chapter.anchor,
        chapter=chapter,
        set_title=set_title,
        index=page.index,
        record_at=choices.address(""),
        maker=str(page.examined.record.maker),
        pages=page.own_pages,
        here=page.leaves.page_of[chapter.folder],
        words=page.examined.bench.words,
        inner=_HEADING.sub(lambda m: f"{m[1]}{int(m[2]) - 1}", texts[0].inner),
        guests=texts[1:],
    )
    html = led(one_deeper(html), rendering.ids(html), places)
    html = rendering.without_empty_columns(rendering.with_empty_cells_marked(rendering.with_whole_dates(html)))
    html = rendering.with_permalinks(html) if choices.permalinks else html
    return WorkingPage(
        name=chapter.anchor,
        title=f"{chapter.title(page.examined.bench.words)}: {set_title}",
        description=rendering.conclusion(texts[0].inner) or chapter.title(page.examined.bench.words),
        html=html,
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
    )


def full_working(page: RecordPage, set_title: str, texts: Sequence[WorkingText]) -> str:
    """Every chapter of the set in full, a file by itself to print; ``ASSETS_MARK`` stands for the way to its style."""
    from . import rendering
    from .cautions import cautions

    bench = page.examined.bench
    html = rendering.render(
        "full_working.html.j2",
        title=set_title,
        assets=ASSETS_MARK,
        cautions=cautions(bench.circuit, bench.words),
        words=bench.words,
        texts=[replace(text, inner=text.inner.replace(SAME_CHASSIS, "")) for text in texts],
    )
    return rendering.without_empty_columns(rendering.with_empty_cells_marked(rendering.with_whole_dates(html)))
