"""One set's page put together: chapters rendered, the story placed among them, downloads and search text beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from ..chapters.order import CHAPTERS, Chapter
from ..record.problems import Problem
from ..record.slips import At, Slips
from .set_page import Choices, OutFile, SetPage

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..drawing import Figure
    from ..record.inputs import Inputs
    from ..record.model import Record
    from ..report.picture import Picture
    from .rendering import PublishedPicture
    from .story import ImageUse, Story

TOP = "top"
_OWN_IDS = (TOP, "problems", "stands-out", "take-away", *(chapter.anchor for chapter in CHAPTERS))


def composed(
    inputs: Inputs,
    choices: Choices,
    figures: Callable[[Chapter], Mapping[str, Figure]],
    examined: Examined,
    problems: list[Problem],
    depends: tuple[tuple[str, str | None], ...],
) -> SetPage:
    """The page of one examined set: head, story and chapters, downloads, and what the search index is given."""
    from . import front_matter, rendering
    from .takeaway import take_away

    record, bench = examined.record, examined.bench
    pictures = {file: rendering.published(picture, "photos/") for file, picture in bench.pictures.items()}
    written = {c: html for c in CHAPTERS if (html := _chapter(c, examined, pictures, figures))}
    story, story_problems = _story(inputs, choices, pictures, written)
    problems = sorted({*problems, *story_problems})
    title = front_matter.title(record)
    offered = take_away(inputs, examined)
    body = _body(story, written, pictures)
    front = _front(record, pictures)
    html = rendering.render(
        "set.html.j2",
        top=TOP,
        title=title,
        front=front,
        problems=problems,
        contents=[e for e in rendering.headings(body) if e.level == 2],
        body=body,
        downloads=offered.links,
        **front_matter.head(examined, story, private=choices.publish_private),
    )
    html = rendering.with_permalinks(html) if choices.permalinks else html
    files = (*offered.files, *_picture_files(bench.pictures))
    own = {file.path for file in files}
    return SetPage(
        folder=inputs.name,
        title=title,
        description=front_matter.lead(record, story, bench.words),
        html=html,
        search=_search(title, examined, story, written),
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
        links=tuple(link for link in rendering.links(html) if link not in own),
        files=files,
        card=front_matter.card(examined, story, front.picture if front else None),
        problems=tuple(problems),
        updated=front_matter.last_date(record),
        depends=depends,
        cache_keys=tuple(k for p in bench.pictures.values() for k in p.cache_keys),
    )


def _chapter(
    chapter: Chapter,
    examined: Examined,
    pictures: Mapping[str, PublishedPicture],
    figures: Callable[[Chapter], Mapping[str, Figure]],
) -> str:
    """One chapter as HTML with its heading; empty where the record says nothing on the subject."""
    from ..chapters.examine import said
    from . import rendering

    findings = examined.findings[chapter.folder]
    if findings is None:
        return ""
    inner = rendering.render_chapter(
        chapter.folder,
        record=examined.record,
        f=findings,
        said=said(examined, chapter),
        figures=figures(chapter),
        bench=examined.bench,
        words=examined.bench.words,
        pictures=pictures,
        chapter=chapter,
    )
    return rendering.render("chapter.html.j2", chapter=chapter, inner=inner)


def _story(
    inputs: Inputs, choices: Choices, pictures: Mapping[str, PublishedPicture], written: Mapping[Chapter, str]
) -> tuple[Story | None, list[Problem]]:
    """The story rendered, with a Problem for each file that is not text and each piece that the record cannot fill."""
    from ..record.reader import decode
    from .story import StoryPart, render_story

    parts, problems = [], []
    for name, data in inputs.story:
        text, found = decode(data, f"{inputs.label}/{name}")
        problems += found
        if not found:
            parts.append(StoryPart(text, f"{inputs.label}/{name}"))
    if not parts:
        return None, problems

    def picture(use: ImageUse) -> str:
        return _picture_html(use.src, use.alt, pictures)

    story = render_story(
        parts,
        insertions=[chapter.story_name for chapter in CHAPTERS],
        permalink=choices.permalinks,
        reserved=_OWN_IDS,
        picture=picture,
    )
    for use in story.images:
        if use.src not in pictures:
            slips = Slips(use.file)
            unlisted = f"the picture {use.src}, which the record does not list"
            slips.add(At((use.line, 1)), "", unlisted, "a picture listed under photos", "add it there")
            problems += slips.problems()
    return story, [*problems, *story.problems]


def _picture_html(src: str, alt: str, pictures: Mapping[str, PublishedPicture]) -> str:
    from . import rendering

    return rendering.render("picture.html.j2", pic=pictures[src], alt=alt) if src in pictures else escape(alt)


def _body(story: Story | None, written: Mapping[Chapter, str], pictures: Mapping[str, PublishedPicture]) -> str:
    """The story with the chapters it places, then the others in the order of the work."""
    from .story import Html, Insertion

    by_story_name = {chapter.story_name: chapter for chapter in written}
    placed: set[Chapter] = set()
    parts: list[str] = []
    for chunk in story.chunks if story else ():
        if isinstance(chunk, Html):
            parts.append(f'<div class="bl-story">{chunk.text}</div>')
        elif isinstance(chunk, Insertion):
            chapter = by_story_name.get(chunk.name)
            if chapter:
                placed.add(chapter)
                parts.append(written[chapter])
        else:
            caption = f"<figcaption>{escape(chunk.caption)}</figcaption>" if chunk.caption else ""
            parts.append(f'<figure class="bl-photo">{_picture_html(chunk.src, chunk.alt, pictures)}{caption}</figure>')
    parts += [html for chapter, html in written.items() if chapter not in placed]
    return "\n".join(parts)


@dataclass(frozen=True)
class Front:
    """The photo at the top of the page."""

    picture: PublishedPicture
    alt: str


def _front(record: Record, pictures: Mapping[str, PublishedPicture]) -> Front | None:
    """The photo at the top: the one called front, or the first from after the work, or the first of all."""
    named = [(str(name), stage, str(file)) for name, p in record.photos.items() for stage, file in p.files().items()]
    usable = [entry for entry in named if entry[2] in pictures]
    if not usable:
        return None
    name, stage, file = min(usable, key=lambda e: (e[0].casefold() not in ("front", "the front"), e[1] != "after"))
    return Front(pictures[file], f"{record.maker} {record.model}: {name}{f', {stage} the work' if stage else ''}")


def _search(title: str, examined: Examined, story: Story | None, written: Mapping[Chapter, str]) -> str:
    """What a visitor may search for: line-up, faults, what stands out, the story; not the tables."""
    from . import front_matter, rendering

    record, words = examined.record, examined.bench.words
    types = [str(t.type) for t in record.tubes.values()]
    sections = [("", "", front_matter.lead(record, story, words))]
    said = " ".join(s.text for s in examined.standouts())
    sections.append(("stands-out", "What stands out", said))
    spoken = {
        "line_up": f"{' '.join(types)} " + " ".join(t.type for t in examined.bench.tubes.values()),
        "faults": " ".join(str(t) for f in record.faults for t in (f.complaint, f.found, f.cause, f.cure) if t),
        "parts": " ".join(str(p.job) for p in record.parts.values() if p.job),
        "log": " ".join(str(e.did) for e in record.log if e.did),
    }
    for chapter, html in written.items():
        conclusion = rendering.conclusion(html)
        sections.append((chapter.anchor, chapter.title, f"{conclusion} {spoken.get(chapter.folder, '')}".strip()))
    for heading in story.headings if story else ():
        sections.append((heading.id, heading.text, ""))
    if story:
        sections.append(("", "", story.text))
    return rendering.search_html(title, TOP, sections)


def _picture_files(pictures: Mapping[str, Picture]) -> Iterator[OutFile]:
    for picture in pictures.values():
        for variant in picture.variants:
            yield OutFile(
                f"photos/{variant.name}", source=str(variant.path) if variant.path else None, data=variant.data
            )


def broken(inputs: Inputs, problems: list[Problem], depends: tuple[tuple[str, str | None], ...]) -> SetPage:
    """The page of a record that cannot be read: what is wrong, line by line."""
    from . import rendering

    title = f"{inputs.name}: the record cannot be read"
    html = rendering.render("broken.html.j2", top=TOP, title=title, problems=problems)
    return SetPage(
        folder=inputs.name,
        title=title,
        description="A record that cannot be read yet.",
        html=html,
        search=rendering.search_html(title, TOP, []),
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
        problems=tuple(problems),
        depends=depends,
    )
