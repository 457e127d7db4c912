"""One set made: its record read and examined, its chapters rendered, its story placed among them, its downloads written."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .bench import Bench
from .build import RECORD_FILE, Choices, OutFile, SetPage
from .cache import Cache
from .chapters.order import CHAPTERS, Chapter
from .dialect import DIALECTS
from .record import read_record
from .record.problems import Problem

if TYPE_CHECKING:
    from .chapters.photos.pictures import Picture
    from .drawing import Figure
    from .examine import Examined
    from .pages import PublishedPicture
    from .record.model import Record
    from .story import Story

TOP = "top"
_STORY_MOST_BYTES = 1_000_000


@dataclass(frozen=True)
class Inputs:
    """What lies in a set's folder in the writer's own words: the record and the parts of the story, by file name."""

    folder: Path
    label: str
    record: bytes
    story: tuple[tuple[str, bytes], ...]

    def parts(self) -> Iterator[str | bytes]:
        """What a page depends on, for its key in the cache."""
        yield from (self.label, self.record)
        for name, data in self.story:
            yield from (name, data)


def read_inputs(folder: Path) -> Inputs:
    """The writer's files of a set. Links that lead out of the folder are passed over."""
    inside = folder.resolve()
    files = [folder / "story.md", *sorted((folder / "story").glob("*.md"))]
    story = tuple(
        (file.relative_to(folder).as_posix(), file.read_bytes())
        for file in files
        if file.is_file() and file.resolve().is_relative_to(inside)
    )
    label = f"{folder.parent.name}/{folder.name}"
    return Inputs(folder, label, (folder / RECORD_FILE).read_bytes(), story)


def make_page(inputs: Inputs, choices: Choices, cache: Cache) -> SetPage:
    """The finished page of one set; for a record that cannot be read, a page that says what is wrong."""
    record, problems = read_record(inputs.record, f"{inputs.label}/{RECORD_FILE}")
    if record is None:
        return _broken(inputs, problems)
    from .examine import examine
    from .references import look_up

    bench, found, depends = look_up(record, inputs.folder, inputs.label, DIALECTS[choices.dialect], choices, cache)
    problems += found
    examined = examine(record, bench)
    return _composed(inputs, choices, cache, examined, problems, depends)


def _composed(
    inputs: Inputs,
    choices: Choices,
    cache: Cache,
    examined: Examined,
    problems: list[Problem],
    depends: tuple[tuple[str, str | None], ...],
) -> SetPage:
    from . import pages
    from .takeaway import downloads

    record, bench = examined.record, examined.bench
    pictures = {file: pages.published(picture, "photos/") for file, picture in bench.pictures.items()}
    chapters = {chapter: _chapter(chapter, examined, pictures, cache) for chapter in CHAPTERS}
    written = {chapter: html for chapter, html in chapters.items() if html}
    story, story_problems = _story(inputs, choices, pictures, written)
    problems = sorted({*problems, *story_problems})
    title = _title(record)
    files = downloads(inputs, examined, choices, title)
    body = _body(story, written, pictures)
    front = _front(record, pictures)
    html = pages.render(
        "set.html.j2",
        top=TOP,
        title=title,
        front=front,
        problems=problems,
        contents=[e for e in pages.headings(body) if e.level == 2],
        body=body,
        downloads=files.offered,
        **_head(examined, story),
    )
    if choices.permalinks:
        html = pages.with_permalinks(html)
    entries = pages.headings(html)
    return SetPage(
        folder=inputs.folder.name,
        title=title,
        description=_lead(record, story),
        html=html,
        search=pages.search_html(title, TOP, _search_sections(examined, story, written)),
        entries=tuple((e.level, e.id, e.title) for e in entries),
        anchors=pages.ids(html),
        links=pages.links(html),
        files=(*files.published, *_picture_files(bench.pictures)),
        card=_card(examined, story, front),
        problems=tuple(problems),
        updated=_updated(record),
        depends=depends,
        cache_keys=tuple(k for p in bench.pictures.values() for k in p.cache_keys),
    )
