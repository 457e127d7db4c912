"""The chapters of one set as they stand on its record: each in short, with the way to its own page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..chapters.order import CHAPTERS, Chapter, as_anchor

if TYPE_CHECKING:
    from ..drawing import Figure
    from ..report.digest import Digest
    from ..report.source import Source
    from ..words import Words


@dataclass
class Numbering:
    """The sources of a page, each numbered where it is first leaned on."""

    numbers: dict[Source, int] = field(default_factory=dict)

    def number(self, source: Source) -> int:
        """The source's number in the list at the end of the page."""
        return self.numbers.setdefault(source, len(self.numbers) + 1)


@dataclass(frozen=True)
class Leaf:
    """One chapter in short, with the figures drawn for it."""

    chapter: Chapter
    digest: Digest
    drawn: Mapping[str, Figure]


@dataclass(frozen=True)
class Leaves:
    """All chapters of one set in short, by folder and in their order.

    ``placed`` are those that the story has a place for. ``page_of`` holds the address of the page on which a chapter
    stands in full; a chapter that is told whole on the record has none. ``sources`` numbers those of the record.
    """

    all_of: Mapping[str, Leaf]
    placed: frozenset[str]
    page_of: Mapping[str, str]
    words: Words
    sources: Numbering = field(default_factory=Numbering)

    @staticmethod
    def mark(folder: str) -> str:
        """Where the ids of a chapter's page go on the record."""
        return f"<!-- ids of {folder} -->"

    def html(self, folder: str, level: int) -> str:
        """A chapter in short as HTML, its heading of ``level`` 2 or 3; with the chapters that are told within it."""
        from .rendering import render, setting

        def leaf_setting(of: Leaf) -> object:
            return setting(of.drawn, self.sources.number)

        return render(
            "leaf.html.j2",
            leaf=self.all_of[folder],
            guests=[self.all_of[guest] for guest in self.guests(folder)],
            level=level,
            working=self.page_of.get(folder, ""),
            old_ids=self._old_ids(folder),
            mark=self.mark(folder),
            setting=leaf_setting,
            words=self.words,
        )

    def after_story(self) -> list[str]:
        """The chapters that the story has no place for, in order; those told within another are told there."""
        own = (folder for folder, leaf in self.all_of.items() if not leaf.chapter.apart)
        return [folder for folder in own if folder not in self.placed and self.host(folder) == folder]

    def host(self, folder: str) -> str:
        """The chapter that one is told with: itself, unless the story leaves it to another."""
        within = self.all_of[folder].chapter.within
        return within if within in self.all_of and folder not in self.placed else folder

    def guests(self, folder: str) -> list[str]:
        """The chapters that are told within one."""
        return [other for other in self.all_of if other != folder and self.host(other) == folder]

    def _old_ids(self, folder: str) -> list[str]:
        """Ids by which a chapter and its guests are, or were, known beside its own."""
        chapters = [self.all_of[each].chapter for each in (folder, *self.guests(folder))]
        names = dict.fromkeys(as_anchor(name) for c in chapters for name in (c.story_name, *c.also))
        return [name for name in names if name != self.all_of[folder].chapter.anchor]


def placed_by(names: Iterable[str]) -> frozenset[str]:
    """The folders of the chapters that a story places by ``names``."""
    own = (chapter for chapter in CHAPTERS if not chapter.apart)
    by_name = {name: chapter.folder for chapter in own for name in (chapter.story_name, *chapter.also)}
    return frozenset(by_name[name] for name in names if name in by_name)
