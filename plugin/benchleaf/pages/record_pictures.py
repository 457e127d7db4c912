"""The pictures of a record: one at the top, those of the story before and after side by side, the rest in a row."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..chapters.photos.examine import STAGES, alt, label
from ..chapters.photos.findings import Pointer
from ..chapters.photos.pointers import pointers

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.photos import Photo
    from .rendering import PublishedPicture
    from .story import Story, StoryPhoto

_PLACED = "photo "
"""What stands before a photo's name where a story places it by that."""


@dataclass(frozen=True)
class Still:
    """A picture as it stands on the page. ``stage`` is empty for one that stands alone."""

    picture: PublishedPicture
    alt: str
    stage: str = ""
    caption: str = ""
    pointers: tuple[Pointer, ...] = ()


@dataclass(frozen=True)
class Front:
    """The photo at the top of the page; ``file`` as the record names it."""

    file: str
    picture: PublishedPicture
    alt: str
    caption: str
    pointers: tuple[Pointer, ...] = ()


def front(record: Record, pictures: Mapping[str, PublishedPicture]) -> Front | None:
    """The photo at the top: the one called front, or the first from after the work, or the first of all."""
    usable = [entry for entry in _files(record) if entry[2] in pictures]
    if not usable:
        return None
    name, stage, file = min(usable, key=lambda e: (e[0].casefold() not in ("front", "the front"), e[1] != "after"))
    legend = record.photos[next(n for n in record.photos if str(n) == name)].legend
    marked = pointers(record).get(file, ())
    return Front(file, pictures[file], alt(record, name, stage), legend, marked)


def placeable_photos(record: Record, pictures: Mapping[str, PublishedPicture]) -> list[str]:
    """The names that a story may place photos by: ``photo under the chassis``."""
    return list(dict.fromkeys(f"{_PLACED}{name}" for name, _, file in _files(record) if file in pictures))


def unplaced(
    record: Record, pictures: Mapping[str, PublishedPicture], story: Story | None, at_top: Front | None
) -> Iterator[Still]:
    """The pictures that neither the top nor the story shows, each with its subject and its caption."""
    from .story import Insertion

    shown = {use.src for use in story.images} if story else set()
    by_name = {chunk.name for chunk in (story.chunks if story else ()) if isinstance(chunk, Insertion)}
    shown |= {file for name, _, file in _files(record) if f"{_PLACED}{name}" in by_name}
    shown |= {at_top.file} if at_top else set()
    marked = pointers(record)
    captions = {str(name): photo.legend for name, photo in record.photos.items()}
    for name, stage, file in _files(record):
        if file in pictures and file not in shown:
            said, subject = alt(record, name, stage), label(name, stage)
            yield Still(pictures[file], said, subject, captions[name], marked.get(file, ()))


@dataclass
class StoryPictures:
    """The pictures that the story places: each once, two stages of one subject side by side at the first of them."""

    story: Story
    record: Record
    pictures: Mapping[str, PublishedPicture]
    at_top: Front | None
    shown: set[str] = field(default_factory=set)

    def html(self, photo: StoryPhoto) -> str:
        """A place in the story; empty where its picture is shown already."""
        from .rendering import render

        if photo.src in self.shown:
            return ""
        pair = [use for use in self._of_section(photo) if use.src in self.pictures]
        stills = [self._still(use) for use in pair]
        self.shown.update(use.src for use in pair)
        return render("pictures.html.j2", stills=stills, id=self._id(photo.src)) if stills else _unpublished(photo)

    def by_name(self, placed: str) -> str:
        """All stages of the photo that a story places by its name, side by side; empty for any other piece."""
        from .rendering import render

        own = [(name, stage, file) for name, stage, file in _files(self.record) if f"{_PLACED}{name}" == placed]
        left = [one for one in own if one[2] in self.pictures and one[2] not in self.shown]
        stills = [self._named(*one) for one in left]
        anchor = self._id(left[0][2]) if left and len(left) == len(own) else ""
        self.shown.update(file for _, _, file in left)
        return render("pictures.html.j2", stills=stills, id=anchor) if stills else ""

    def _named(self, name: str, stage: str, file: str) -> Still:
        """A picture with the record's own caption."""
        marked = pointers(self.record).get(file, ())
        legend = self._photo(name).legend
        return Still(self.pictures[file], alt(self.record, name, stage), stage, legend, marked)

    def _photo(self, name: str) -> Photo:
        return next(photo for known, photo in self.record.photos.items() if str(known) == name)

    def _still(self, use: StoryPhoto) -> Still:
        marked = pointers(self.record).get(use.src, ())
        return Still(self.pictures[use.src], use.alt, self._stage(use.src), use.caption or use.alt, marked)

    def _of_section(self, photo: StoryPhoto) -> list[StoryPhoto]:
        """The pictures of the same subject in the same section of the story, by the stage of the work."""
        subject = self._subject(photo.src)
        same = [photo] if subject is None else [p for p in self._section(photo) if self._subject(p.src) == subject]
        once = list({p.src: p for p in same if p.src not in self.shown}.values())
        order = list(STAGES)
        return sorted(once, key=lambda p: order.index(self._stage(p.src)))

    def _section(self, photo: StoryPhoto) -> list[StoryPhoto]:
        from .story import Html, StoryPhoto

        section: list[StoryPhoto] = []
        for chunk in self.story.chunks:
            if isinstance(chunk, Html) and "<h2" in chunk.text:
                if photo in section:
                    break
                section = []
            elif isinstance(chunk, StoryPhoto):
                section.append(chunk)
        return section

    def _subject(self, file: str) -> str | None:
        return next((name for name, _, known in _files(self.record) if known == file), None)

    def _stage(self, file: str) -> str:
        return next((stage for _, stage, known in _files(self.record) if known == file), "")

    def _id(self, file: str) -> str:
        from ..report.anchors import photo_anchor

        subject = self._subject(file)
        return photo_anchor(subject) if subject else ""


def _unpublished(photo: StoryPhoto) -> str:
    from html import escape

    return f'<p class="bl-small">{escape(photo.alt)}</p>' if photo.alt else ""


def _files(record: Record) -> list[tuple[str, str, str]]:
    return [(str(name), stage, str(file)) for name, p in record.photos.items() for stage, file in p.files().items()]
