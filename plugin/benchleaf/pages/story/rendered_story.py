"""From the files of a story to what a page is made of: sanitised HTML, placed pieces, photos, headings, problems."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field

import nh3

from ...record.problems import Problem
from ...record.slips import Slips
from ...record.story_files import title_of
from .addresses import LEFT_BEHIND, SCHEMES, UNFIT
from .bounds import LARGEST_STORY, WORK_LIMIT, heaviest_line
from .comments import without_comments
from .markup import note_reader, reader
from .placeholders import FIELD, ImageUse, LinkUse, Manuscript
from .plain_text import heading_id, opening_sentence, plain
from .story_contents import PartPlace, contents, turning

_INLINE_TAGS = {"a", "code", "em", "strong", "br"}
_STORY_TAGS = _INLINE_TAGS | {
    *("p", "h1", "h2", "h3", "h4", "h5", "h6", "ul", "ol", "li", "blockquote", "hr", "pre"),
    *("table", "thead", "tbody", "tr", "th", "td"),
}
_ATTRIBUTES = {"a": {"href", "title", "rel"}, "ol": {"start"}}
_FIXED_VALUES = {
    "th": {"scope": {"col"}, "align": {"left", "right", "center"}},
    "td": {"align": {"left", "right", "center"}},
}
_REFERENCE = re.compile("&#(?:[xX]0*([0-9a-fA-F]{1,8})|0*([0-9]{1,8}));?")
_STANDING = re.compile("\\s*<p>\ufdd0([Pf])(\\d+)\ufdd1</p>\\s*")
_HEADED = re.compile("<(h[1-6])>\ufdd0h(\\d+)\ufdd1(.*?)</\\1>", re.DOTALL)
_INLINE_PICTURE = re.compile("\ufdd0i(\\d+)\ufdd1")
_PLAIN_NOTE = re.compile(r"[^*_`<>&\[\]\\!\n]*")
_LONGEST_NOTE = 10_000
_HEADING_WITH_ID = re.compile(r'<h[1-6] id="([^"]*)">.*?</h[1-6]>', re.DOTALL)
_PERMALINK_SIGN = "¶"
_PERMALINK = '<a class="headerlink" href="#{id}" title="Permanent link">{sign}</a>'
_TABLE_OPENS = '<div class="benchleaf-scroll" tabindex="0" role="group" aria-label="Table"><table>'
_TABLE_CLOSES = "</table></div>"


@dataclass(frozen=True, slots=True)
class StoryPart:
    """The text of one file of a story, and the file's name as problems are to give it."""

    text: str
    file: str


@dataclass(frozen=True, slots=True)
class Html:
    """A stretch of a story as HTML that may be put in a page as it is."""

    text: str


@dataclass(frozen=True, slots=True)
class Insertion:
    """The place of a computed piece, by the name the caller gave it."""

    name: str


@dataclass(frozen=True, slots=True)
class StoryPhoto:
    """A picture that stands by itself. ``src`` is relative to the set's folder and stays in it."""

    src: str
    alt: str
    file: str
    line: int
    caption: str = ""


Chunk = Html | Insertion | StoryPhoto


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of the story: level as rendered, text without markup and unescaped, id unique on the page."""

    level: int
    text: str
    id: str


@dataclass(frozen=True, slots=True)
class Story:
    """A rendered story. ``texts`` and ``first_sentence`` are plain and unescaped.

    ``texts`` has what stands before the first heading, under "", and below each heading, under its id.
    """

    chunks: tuple[Chunk, ...] = ()
    headings: tuple[Heading, ...] = ()
    problems: tuple[Problem, ...] = ()
    images: tuple[ImageUse, ...] = ()
    links: tuple[LinkUse, ...] = ()
    texts: tuple[tuple[str, str], ...] = ()
    first_sentence: str = ""


def render_story(
    parts: Sequence[StoryPart],
    *,
    insertions: Collection[str],
    permalink: bool,
    first_heading_level: int = 2,
    reserved: Collection[str] = (),
    picture: Callable[[ImageUse], str] | None = None,
    recordings: Mapping[str, str] | None = None,
) -> Story:
    """Render a story, its files in order.

    ``insertions`` are the names that ``[[name]]`` on a line of its own may place. ``reserved`` are ids taken on the
    page; ``recordings`` are the addresses that ``[[recording 3:15]]`` leads to, anywhere in the text. ``picture`` gives
    the HTML of a picture inside a line of text (trusted, put in as it is); pictures that stand alone become
    ``StoryPhoto`` chunks. Headings are nested by their order in a part: the outermost get ``first_heading_level`` and
    no level is skipped. Several parts have a list of contents and links from one to the next. Comments (``<!-- … -->``)
    are private and left out. Never raises for what is written in ``parts``: what cannot be read is a Problem.
    """
    if not 1 <= first_heading_level <= 6:
        raise ValueError(f"a heading's level is 1 to 6, not {first_heading_level}")
    too_long = _too_long(parts)
    if too_long:
        return Story(problems=too_long)
    writing = _Writing(first_heading_level, permalink, picture or _plain_picture, set(reserved))
    placed: set[str] = set()
    for part in parts:
        text, unclosed = without_comments(_clean(part.text))
        manuscript = Manuscript(part.file, insertions, placed, text, recordings or {})
        if unclosed:
            remedy = "write it where the comment ends; all behind “<!--” is left out"
            manuscript.report(*unclosed, "a comment that is not closed", "“-->” at its end", remedy)
        writing.begin(title_of(part.file))
        writing.add(_sanitised(manuscript), manuscript)
    return writing.finished()


def render_note(text: str) -> str:
    """Render a short note of the record: emphasis, code and links, no blocks. Refused addresses leave their text.

    A note too long or too tangled to be read as Markdown comes out as plain text.
    """
    text = " ".join(_clean(text).split())
    if _PLAIN_NOTE.fullmatch(text):
        return text
    if len(text) > _LONGEST_NOTE or heaviest_line(text)[0] > WORK_LIMIT // 100:
        return html.escape(text, quote=False)
    try:
        made = note_reader().convert(text)
    except RecursionError:
        return html.escape(text, quote=False)
    return _nh3_clean(made, _INLINE_TAGS).strip()


def _clean(text: str) -> str:
    """Text without what no page may hold, halves of letters among it."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").removeprefix("\ufeff")
    return UNFIT.sub("", text).encode("utf-8", "replace").decode("utf-8")


def _plain_reference(match: re.Match[str]) -> str:
    """A numeric character reference, unless it stands for what `_clean` takes out, and a browser would put in again."""
    number = int(match[1], 16) if match[1] else int(match[2])
    return "\ufffd" if number <= 0xFFFF and UNFIT.match(chr(number)) else match[0]


def _nh3_clean(made: str, tags: set[str]) -> str:
    return nh3.clean(
        _REFERENCE.sub(_plain_reference, LEFT_BEHIND.sub("", made)),
        tags=tags,
        clean_content_tags=set(),
        attributes=_ATTRIBUTES,
        tag_attribute_values=_FIXED_VALUES,
        url_schemes=set(SCHEMES),
        link_rel=None,
    )


def _too_long(parts: Sequence[StoryPart]) -> tuple[Problem, ...]:
    letters = 0
    for part in parts:
        letters += len(part.text)
        if letters > LARGEST_STORY:
            found = f"a story of more than {LARGEST_STORY:,} characters"
            slips = Slips(part.file)
            slips.add(None, FIELD, found, "a shorter story", "keep readings in readings.csv")
            return slips.problems()
    return ()


def _sanitised(manuscript: Manuscript) -> str:
    """HTML of one file with placeholders where ours goes; empty, with a Problem, where the text is a tangle."""
    work, line = heaviest_line(manuscript.text)
    tangle = ("markup too tangled to read", "ordinary paragraphs, lists and tables", "look for brackets left open")
    if work > WORK_LIMIT:
        manuscript.report(line, 1, *tangle)
        return ""
    try:
        made = reader(manuscript).convert(manuscript.with_placeholders())
    except RecursionError:
        manuscript.report(line, 1, *tangle)
        return ""
    return _nh3_clean(manuscript.restored(made), _STORY_TAGS)


def _plain_picture(image: ImageUse) -> str:
    return f'<img src="{html.escape(image.src)}" alt="{html.escape(image.alt)}" loading="lazy">'


@dataclass
class _Writing:
    """A story as it grows file by file."""

    first_level: int
    permalink: bool
    picture: Callable[[ImageUse], str]
    taken: set[str]
    outline: list[int] = field(default_factory=list)
    chunks: list[Chunk] = field(default_factory=list)
    headings: list[Heading] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    images: list[ImageUse] = field(default_factory=list)
    links: list[LinkUse] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=lambda: {"": ""})
    first_sentence: str = ""
    begun: list[tuple[str, int, int]] = field(default_factory=list)

    def begin(self, title: str) -> None:
        """Begin a part, called ``title`` where it has no heading of its own."""
        self.outline.clear()
        self.begun.append((title, len(self.chunks), len(self.headings)))

    def add(self, made: str, manuscript: Manuscript) -> None:
        """Add one file's sanitised HTML."""
        done = 0
        for standing in _STANDING.finditer(made):
            self._add_html(made[done : standing.start()], manuscript)
            self.chunks.append(_stood(standing[1], int(standing[2]), manuscript))
            done = standing.end()
        self._add_html(made[done:], manuscript)
        self.problems += manuscript.slips.problems()
        self.images += [*manuscript.photos, *manuscript.images]
        self.links += manuscript.links

    def _add_html(self, made: str, manuscript: Manuscript) -> None:
        made = _HEADED.sub(lambda m: self._heading(manuscript.heading_levels[int(m[2])], m[3]), made.strip())
        if not made:
            return
        self._tell(_INLINE_PICTURE.sub("", made))
        self.first_sentence = self.first_sentence or opening_sentence(_INLINE_PICTURE.sub("", made))
        made = made.replace("<table>", _TABLE_OPENS).replace("</table>", _TABLE_CLOSES)
        made = _INLINE_PICTURE.sub(lambda m: self.picture(manuscript.images[int(m[1])]), made)
        self.chunks.append(Html(made))

    def _tell(self, made: str) -> None:
        """Keep the words of ``made`` under the headings that they stand below."""
        begins, *rest = _HEADING_WITH_ID.split(made)
        for id, below in [(next(reversed(self.texts)), begins), *zip(rest[::2], rest[1::2], strict=True)]:
            key = html.unescape(id)
            self.texts[key] = " ".join(filter(None, (self.texts.get(key), plain(below))))

    def _heading(self, written_level: int, inside: str) -> str:
        text = plain(_INLINE_PICTURE.sub("", inside))
        if not text:
            return ""
        while self.outline and self.outline[-1] >= written_level:
            self.outline.pop()
        level = min(self.first_level + len(self.outline), 6)
        self.outline.append(written_level)
        heading = Heading(level, text, heading_id(text, self.taken))
        self.taken.add(heading.id)
        self.headings.append(heading)
        link = _PERMALINK.format(id=html.escape(heading.id), sign=_PERMALINK_SIGN) if self.permalink else ""
        return f'<h{level} id="{html.escape(heading.id)}">{inside.strip()}{link}</h{level}>'

    def _in_parts(self) -> list[Chunk]:
        """The chunks with a list of contents and the ways from part to part, where more than one has anything."""
        ends = [*(chunk for _, chunk, _ in self.begun[1:]), len(self.chunks)]
        heads = [*(heading for _, _, heading in self.begun[1:]), len(self.headings)]
        parts = [
            (title or f"Part {n}", first, last, self.headings[heading] if heading < end else None)
            for n, ((title, first, heading), last, end) in enumerate(zip(self.begun, ends, heads, strict=True), 1)
            if last > first
        ]
        if len(parts) < 2:
            return self.chunks
        places = [self._place_of(title, first, heading) for title, first, _, heading in parts]
        chunks: list[Chunk] = [Html(contents(places))]
        for n, (_, first, last, heading) in enumerate(parts):
            own = heading is not None and heading.id == places[n].id
            chunks += [] if own else [Html(f'<span id="{html.escape(places[n].id)}"></span>')]
            chunks += [*self.chunks[first:last], Html(turning(places, n))]
        return chunks

    def _place_of(self, title: str, first: int, heading: Heading | None) -> PartPlace:
        """A part's title and id: those of its first heading where it begins with one."""
        begins = self.chunks[first]
        if heading and isinstance(begins, Html) and begins.text.startswith("<h"):
            return PartPlace(heading.text, heading.id)
        id = heading_id(title, self.taken)
        self.taken.add(id)
        return PartPlace(title, id)

    def finished(self) -> Story:
        return Story(
            chunks=tuple(self._in_parts()),
            headings=tuple(self.headings),
            problems=tuple(sorted(self.problems)),
            images=tuple(self.images),
            links=tuple(self.links),
            texts=tuple(self.texts.items()),
            first_sentence=self.first_sentence,
        )


def _stood(letter: str, number: int, manuscript: Manuscript) -> Insertion | StoryPhoto:
    if letter == "P":
        return Insertion(manuscript.placed_in_order[number])
    use = manuscript.photos[number]
    return StoryPhoto(use.src, use.alt, use.file, use.line, use.caption)
