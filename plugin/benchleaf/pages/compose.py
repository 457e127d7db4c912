"""All pages of one examined set: its record, a page for each chapter that has more to show, and the downloads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from html import escape
from typing import TYPE_CHECKING

from ..chapters.order import CHAPTERS, Chapter, as_anchor
from ..record.inputs import RECORD_FILE
from ..record.problems import Problem
from ..record.slips import At, Slips
from ..report.anchors import NEVER_ON_THE_RECORD
from .leaves import Leaf, Leaves, placed_by
from .record_page import RecordPage, page_body
from .record_pictures import placeable_photos
from .set_page import Choices, OutFile, SetPage, WorkingPage
from .targets import from_below, led
from .working_pages import FULL_WORKING, WorkingText, full_working, working_page

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..drawing import Figure
    from ..record.inputs import Inputs
    from ..record.model import Record
    from ..report.picture import Picture
    from .rendering import PublishedPicture
    from .story import ImageUse, Story

TOP = "top"
_OWN_IDS = (
    TOP, "problems", "in-brief", "next", "key", "keeping", "take-away", "sources", "caution",
    *(as_anchor(name) for c in CHAPTERS for name in (c.story_name, *c.also)),
)  # fmt: skip


def composed(
    inputs: Inputs,
    choices: Choices,
    figures: Callable[[Chapter], Mapping[str, Figure]],
    examined: Examined,
    problems: list[Problem],
    depends: tuple[tuple[str, str | None], ...],
    unread: tuple[int, ...] = (),
) -> SetPage:
    """The pages of one examined set, its downloads, and what the search index is given.

    ``unread`` are the lines of its record that were not understood: of them the page says no more than their number.
    """
    from . import front_matter, rendering
    from .takeaway import take_away

    record, bench = examined.record, examined.bench
    pictures = {file: rendering.published(picture, "photos/") for file, picture in bench.pictures.items()}
    drawn = {c.folder: figures(c) for c in CHAPTERS if examined.findings[c.folder] is not None}
    texts = {c.folder: t for c in CHAPTERS if (t := _text(c, examined, pictures, drawn))}
    single = _placed_figures(examined, drawn)
    placed = (*single, *placeable_photos(record, pictures))
    story, story_problems = _story(inputs, choices, pictures, texts, placed, record)
    problems = sorted({*problems, *story_problems})
    own_file = f"{inputs.label}/{RECORD_FILE}"
    shown = [problem for problem in problems if not (unread and problem.file == own_file and problem.line in unread)]
    title = front_matter.title(record)
    public = not any(problem.private and problem.file == own_file for problem in problems)
    offered = take_away(inputs, examined, choices, as_typed=public)
    leaves = _leaves(examined, drawn, texts, story, choices)
    own_pages = _own_pages(leaves, choices)
    index = choices.index(inputs.name)
    links = offered.links
    page = RecordPage(examined, choices, story, pictures, leaves, shown, links, own_pages, single, index, unread)
    html = page_body(page, TOP)
    places = _places(leaves, texts, choices)
    html = led(html, rendering.ids(html), places)
    html = _with_old_ids(html, texts, leaves)
    html = rendering.with_permalinks(html) if choices.permalinks else html
    workings = tuple(_workings(page, title, texts, places, choices))
    on_paper = [text for text in texts.values() if not text.chapter.apart]
    whole = OutFile(FULL_WORKING, full_working(page, title, on_paper))
    files = (*offered.files, whole, *_picture_files(bench.pictures))
    own = {file.path for file in files} | {w.address(choices) for w in workings}
    return SetPage(
        folder=inputs.name,
        title=title,
        description=front_matter.lead(record, story, bench.words),
        html=html,
        search=_search(title, examined, story, texts),
        entries=tuple((e.level, e.id, e.title) for e in rendering.headings(html)),
        anchors=rendering.ids(html),
        links=tuple(link for link in rendering.links(html) if link.partition("#")[0] not in own),
        files=files,
        workings=workings,
        card=front_matter.card(examined, story, page.front.picture if page.front else None),
        problems=tuple(problems),
        unread=unread,
        updated=front_matter.last_date(record),
        depends=depends,
        cache_keys=tuple(k for p in bench.pictures.values() for k in p.cache_keys),
    )


def _text(
    chapter: Chapter,
    examined: Examined,
    pictures: Mapping[str, PublishedPicture],
    drawn: Mapping[str, Mapping[str, Figure]],
) -> WorkingText | None:
    """One chapter in full as HTML; None where the record says nothing on the subject."""
    from ..chapters.examine import said
    from . import rendering

    findings = examined.findings[chapter.folder]
    if findings is None:
        return None
    inner = rendering.render_chapter(
        chapter.folder,
        record=examined.record,
        f=findings,
        said=said(examined, chapter),
        figures=drawn[chapter.folder],
        bench=examined.bench,
        words=examined.bench.words,
        pictures=pictures,
        chapter=chapter,
    )
    return WorkingText(chapter, inner, rendering.ids(inner))


def _leaves(
    examined: Examined,
    drawn: Mapping[str, Mapping[str, Figure]],
    texts: Mapping[str, WorkingText],
    story: Story | None,
    choices: Choices,
) -> Leaves:
    from ..chapters.examine import digest
    from .story import Insertion

    all_of = {c.folder: Leaf(c, made, drawn[c.folder]) for c in CHAPTERS if (made := digest(examined, c))}
    placed = placed_by(chunk.name for chunk in (story.chunks if story else ()) if isinstance(chunk, Insertion))
    leaves = Leaves(all_of, placed, {}, examined.bench.words)
    return replace(leaves, page_of=_page_of(leaves, texts, choices))


def _page_of(leaves: Leaves, texts: Mapping[str, WorkingText], choices: Choices) -> dict[str, str]:
    """The address of the page that holds each chapter in full, for those that have one."""
    found = {}
    for folder in texts:
        host = leaves.host(folder)
        if any(leaves.all_of[each].digest.working for each in (host, *leaves.guests(host))):
            found[folder] = WorkingPage.at(leaves.all_of[host].chapter.anchor, choices)
    return found


def _own_pages(leaves: Leaves, choices: Choices) -> list[tuple[str, str]]:
    """The set's own pages with their names, in the order of the record."""
    order = [c for c in CHAPTERS if c.folder in leaves.page_of and leaves.host(c.folder) == c.folder]
    return [(leaves.page_of[c.folder], c.short(leaves.words)) for c in order]


def _places(leaves: Leaves, texts: Mapping[str, WorkingText], choices: Choices) -> dict[str, str]:
    """Where each id of a chapter in full is, from the record: on the chapter's page, or beside the record."""
    places: dict[str, str] = {}
    for folder, text in texts.items():
        address = leaves.page_of.get(folder)
        home = address or f"#{leaves.all_of[leaves.host(folder)].chapter.anchor}"
        ids = (*text.ids, *(as_anchor(name) for name in (text.chapter.story_name, *text.chapter.also)))
        for id in ids:
            own_top = id == leaves.all_of[leaves.host(folder)].chapter.anchor
            places.setdefault(id, (address if own_top else f"{address}#{id}") if address else home)
    return places


def _with_old_ids(html: str, texts: Mapping[str, WorkingText], leaves: Leaves) -> str:
    """The record with an empty target for each id that its chapters have on their pages: old links still arrive."""
    from . import rendering

    taken = set(rendering.ids(html))
    for folder, text in texts.items():
        if text.chapter.apart:
            continue
        lacking = [id for id in dict.fromkeys(text.ids) if id not in taken and not id.startswith(NEVER_ON_THE_RECORD)]
        taken.update(lacking)
        targets = "".join(f'<span id="{escape(id)}"></span>' for id in lacking)
        html = html.replace(Leaves.mark(leaves.host(folder)), targets + Leaves.mark(leaves.host(folder)), 1)
    for folder in leaves.all_of:
        html = html.replace(Leaves.mark(folder), "")
    return html


def _workings(
    page: RecordPage, title: str, texts: Mapping[str, WorkingText], places: Mapping[str, str], choices: Choices
) -> Iterator[WorkingPage]:
    leaves = page.leaves
    from_there = from_below(places)
    for folder, text in texts.items():
        if leaves.host(folder) != folder or folder not in leaves.page_of:
            continue
        guests = [texts[guest] for guest in leaves.guests(folder) if guest in texts]
        yield working_page(page, title, [text, *guests], from_there, choices)


def _placed_figures(examined: Examined, drawn: Mapping[str, Mapping[str, Figure]]) -> dict[str, str]:
    """The figures that a story may place by themselves as HTML, by their names there."""
    from ..chapters.examine import placeable
    from . import rendering

    return {
        name: rendering.render("placed_figure.html.j2", figure=drawn[folder][shown.figure], caption=shown.caption)
        for name, (folder, shown) in placeable(examined).items()
        if shown.figure in drawn[folder]
    }


def _story(
    inputs: Inputs,
    choices: Choices,
    pictures: Mapping[str, PublishedPicture],
    texts: Mapping[str, WorkingText],
    single: Iterable[str],
    record: Record,
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
        return picture_html(use.src, use.alt, pictures)

    story = render_story(
        parts,
        insertions=list(dict.fromkeys([*(n for c in CHAPTERS for n in (c.story_name, *c.also)), *single])),
        permalink=choices.permalinks,
        reserved=(*_OWN_IDS, *(id for text in texts.values() for id in text.ids)),
        picture=picture,
        recordings={str(name): str(address) for name, address in record.recordings.items()},
    )
    told_in_record = {str(file) for photo in record.photos.values() for file in photo.files().values()}
    for use in story.images:
        if use.src not in pictures and use.src not in told_in_record:
            slips = Slips(use.file)
            unlisted = f"the picture {use.src}, which the record does not list"
            slips.add(At((use.line, 1)), "", unlisted, "a picture listed under photos", "add it there")
            problems += slips.problems()
    return story, [*problems, *story.problems]


def picture_html(src: str, alt: str, pictures: Mapping[str, PublishedPicture]) -> str:
    """A picture inside a line of the story; its words where it is not published."""
    from . import rendering

    return rendering.render("picture.html.j2", pic=pictures[src], alt=alt) if src in pictures else escape(alt)


def _search(title: str, examined: Examined, story: Story | None, texts: Mapping[str, WorkingText]) -> str:
    """What a visitor may search for: line-up, faults, what stands out, the words of the record and of the story.

    Not the tables, and not what each chapter comes to: those are the same sentences in every record.
    """
    from . import front_matter, rendering

    record, words = examined.record, examined.bench.words
    told = dict(story.texts) if story else {}
    standouts = " ".join(s.text for s in examined.standouts())
    above = (front_matter.lead(record, story, words), standouts, told.get("", ""))
    sections = [("", "", text) for text in above if text]
    spoken: dict[str, Iterable[object]] = {
        "line_up": (*(t.type for t in record.tubes.values()), *(t.type for t in examined.bench.tubes.values())),
        "faults": (t for f in record.faults for t in (f.complaint, f.found, *f.ruled_out, f.cause, f.cure)),
        "parts": (p.job for p in record.parts.values()),
        "log": (e.did for e in record.log),
    }
    for folder, text in texts.items():
        if said := " ".join(dict.fromkeys(str(each) for each in spoken.get(folder, ()) if each)):
            sections.append((text.chapter.anchor, text.chapter.title(words), said))
    for heading in story.headings if story else ():
        sections.append((heading.id, heading.text, told[heading.id]))
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
