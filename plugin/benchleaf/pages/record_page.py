"""The record of a set: the page that is read in two minutes. Head, in brief, story, chapters in short, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ..chapters.order import as_anchor
from ..record.problems import one_of
from ..record.progress import FINISHED, ON_THE_BENCH, WAITING
from ..record.untold import untold
from .brief import InBrief, in_brief, open_findings, parts_left
from .leaves import Leaves, placed_by
from .record_pictures import Front, StoryPictures, front, unplaced

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..record.problems import Problem
    from .rendering import PublishedPicture
    from .set_page import Choices
    from .story import Story
    from .takeaway import Offer

PICTURES = "photos"
"""The chapter whose pictures stand on the record themselves."""


@dataclass(frozen=True)
class RecordPage:
    """All that goes onto a record. ``own_pages`` are the set's other pages, each its address and its name.

    ``single`` holds figures that the story may place by themselves, as HTML, by their names there. ``index`` is the way
    to the index of all sets, ``unread`` the lines of the record that were not understood.
    """

    examined: Examined
    choices: Choices
    story: Story | None
    pictures: Mapping[str, PublishedPicture]
    leaves: Leaves
    problems: Sequence[Problem]
    downloads: Sequence[Offer]
    own_pages: Sequence[tuple[str, str]]
    single: Mapping[str, str]
    index: str
    unread: tuple[int, ...] = ()

    @property
    def state(self) -> str:
        """How far the work has come; a record that does not say is read like a finished one."""
        return str(self.examined.record.state or FINISHED)

    @cached_property
    def front(self) -> Front | None:
        """The picture at the top."""
        return front(self.examined.record, self.pictures)

    @cached_property
    def brief(self) -> InBrief:
        """What stands at the top."""
        return in_brief(self.leaves.all_of, self.examined)


def page_body(page: RecordPage, top: str) -> str:
    """The record as HTML. Its pieces are made in the order of the page, so that its sources are numbered in that."""
    from . import front_matter, rendering

    record, words = page.examined.record, page.examined.bench.words
    waiting = page.state == WAITING
    at_top = _complaints_html(page) if waiting else _brief_html(page)
    first = _leaf(page, "readings", 2) if page.state == ON_THE_BENCH else ""
    story = "\n".join(_story_parts(page))
    after = "" if waiting else "\n".join(_after_story(page))
    row = list(unplaced(record, page.pictures, page.story, page.front))
    at_top += "".join(_target(page, folder) for folder in _not_shown(page) if not (row and folder == PICTURES))
    return rendering.render(
        "set.html.j2",
        top=top,
        title=front_matter.title(record),
        maker=str(record.maker),
        index=page.index,
        standfirst=front_matter.standfirst(page.examined, page.story),
        front=page.front,
        facts=front_matter.facts(record, words, private=page.choices.publish_private),
        cautions=front_matter.cautions_of(page.examined),
        pages=page.own_pages,
        brief=at_top,
        problems=page.problems,
        unread=one_of(map(str, page.unread), "and"),
        unread_lines=len(page.unread),
        no_line_side=record.lost.may_reach_a_hand,
        note=str(record.note or ""),
        first=first,
        story=story,
        after=after,
        row=row,
        advice=str(record.advice or ""),
        downloads=page.downloads,
        recordings={str(name): str(address) for name, address in record.recordings.items()},
        untold=untold(record, words),
        sources=[source.entry for source in page.leaves.sources.numbers],
        setting=rendering.setting({}, page.leaves.sources.number),
    )


def _brief_html(page: RecordPage) -> str:
    from . import rendering

    leaves, brief = page.leaves, page.brief
    return rendering.render(
        "brief.html.j2",
        brief=brief,
        on_bench=page.state == ON_THE_BENCH,
        open=open_findings(leaves.all_of),
        parts_left=parts_left(page.examined) if page.state == ON_THE_BENCH else [],
        setting=rendering.setting({}, leaves.sources.number),
    )


def _complaints_html(page: RecordPage) -> str:
    """What a set that waits was brought in for."""
    from . import rendering

    complaints = [str(fault.complaint) for fault in page.examined.record.faults if fault.complaint]
    return rendering.render("complaints.html.j2", complaints=complaints) if complaints else ""


def _not_shown(page: RecordPage) -> list[str]:
    """The chapters that have no place of their own on the record, so that their ids stand at its top."""
    if page.state == WAITING:
        leaves = page.leaves.all_of.items()
        return [folder for folder, leaf in leaves if folder not in page.leaves.placed and not leaf.chapter.apart]
    return [folder for folder in page.leaves.after_story() if _left_out(page, folder)]


def _target(page: RecordPage, folder: str) -> str:
    """Where links to a chapter arrive that has no place of its own."""
    chapter = page.leaves.all_of[folder].chapter
    names = dict.fromkeys(as_anchor(name) for name in (chapter.story_name, *chapter.also))
    return "".join(f'<span id="{name}"></span>' for name in names) + page.leaves.mark(folder)


def _leaf(page: RecordPage, folder: str, level: int) -> str:
    return page.leaves.html(folder, level) if folder in page.leaves.all_of else ""


def _shown_first(page: RecordPage) -> frozenset[str]:
    return frozenset({"readings"} if page.state == ON_THE_BENCH else ())


def _story_parts(page: RecordPage) -> Iterator[str]:
    """The story, with the chapters and pictures that it places."""
    from .story import Html, Insertion

    if page.story is None:
        return
    stills = StoryPictures(page.story, page.examined.record, page.pictures, page.front)
    for chunk in page.story.chunks:
        if isinstance(chunk, Html):
            yield f'<div class="bl-words">{chunk.text}</div>'
        elif isinstance(chunk, Insertion):
            for folder in placed_by([chunk.name]) - _shown_first(page):
                yield _leaf(page, folder, 3)
            yield page.single.get(chunk.name, "") or stills.by_name(chunk.name)
        else:
            yield stills.html(chunk)


def _after_story(page: RecordPage) -> Iterator[str]:
    """The chapters that the story has no place for; two short ones that follow each other stand side by side."""
    waiting: list[str] = []
    for folder in [*page.leaves.after_story(), ""]:
        if folder in _shown_first(page) or (folder and _left_out(page, folder)):
            continue
        half = bool(folder) and page.leaves.all_of[folder].digest.half
        if waiting and (not half or len(waiting) == 2):
            yield _side_by_side(waiting)
            waiting = []
        if half:
            waiting.append(_leaf(page, folder, 2))
        elif folder:
            yield _leaf(page, folder, 2)


def _side_by_side(leaves: list[str]) -> str:
    return leaves[0] if len(leaves) == 1 else f'<div class="bl-two">{"".join(leaves)}</div>'


def _left_out(page: RecordPage, folder: str) -> bool:
    """Whether a chapter need not stand on the record: all it has is said in brief, or shown as a row of pictures."""
    leaf = page.leaves.all_of[folder]
    told = leaf.digest.told_above and page.state != ON_THE_BENCH and page.brief.tells_all(folder, leaf)
    return told or folder == PICTURES
