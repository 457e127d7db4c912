"""HTML by Jinja: the templates and their filters, headings and ids of a page, and the text for the search index."""

from __future__ import annotations

import datetime
import posixpath
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from html import escape, unescape
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit

from ..words.decimal_sign import with_decimal_sign

if TYPE_CHECKING:
    import jinja2

    from ..drawing import Figure
    from ..report.html import Setting
    from ..report.picture import Picture
    from ..report.sentence import Phrase
    from ..report.source import Source
    from ..report.table import Cell, Table

_HERE = Path(__file__).parent
_HEADING = re.compile(r'<h([23]) id="([^"]+)">(.*?)</h\1>', re.S)
_HREF = re.compile(r'\shref="([^"]+)"')
_TAG = re.compile(r"<[^>]*>")
_MONTH_AND_DAY = re.compile(
    r"-\d\d-\d\d(?<=\d{4}-\d\d-\d\d)(?<![\w-]\d{4}-\d\d-\d\d)"
    r"(?![\w-])(?![^<>]*>)(?![^<]*</(?:title|desc|text|tspan|code)>)"
)
"""The end of a date among the words of a page: none in a tag, none in a drawing. Hyphens are few on a page, and digits
many: to begin with the year takes twenty times as long."""
_EMPTY_CELL = re.compile(
    r'<td(?: class="((?![^"]*bl-nothing)[^"]*)")?((?: data-label="[^"]*")?)>'
    r'\s*(?:–|<span class="bl-number">–</span>)\s*</td>'
)
_PLAIN_TABLE = re.compile(r'<table class="bl-table">.*?</table>', re.S)
_ROW = re.compile(r"<tr\b.*?</tr>", re.S)
_CELL = re.compile(r"<t[hd]\b.*?</t[hd]>", re.S)
_IS_EMPTY = re.compile(r"<td\b[^>]*\bbl-nothing\b")
_INLINE = re.compile(r"</?(?:a|abbr|b|code|em|i|span|strong|sub|sup)\b[^>]*>")


@cache
def environment() -> jinja2.Environment:
    """The templates, escaping everything and refusing names that were not given."""
    import jinja2

    from ..record.decibels import say_decibels
    from ..report.amount import signed_percent, unitless
    from ..report.html import aligned
    from ..report.typed import in_trade_units

    env = jinja2.Environment(
        loader=jinja2.FileSystemLoader([_HERE / "templates", _HERE.parent / "chapters", _HERE.parent / "archive"]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters |= {
        "si": _say,
        "plain": _plain,
        "aligned": aligned,
        "decibels": say_decibels,
        "in_trade_units": in_trade_units,
        "unitless": unitless,
        "day": day,
        "note": note,
        "signed_percent": signed_percent,
        "phrase": _phrase,
        "table": _table,
        "cell": _cell,
        "leads": _leads,
    }
    env.globals["digits"] = _digits
    return env


def compile_all() -> None:
    """Compile every template now, which else is compiled where it is first asked for."""
    for template in environment().list_templates(extensions=["j2"]):
        environment().get_template(template)


def _digits(form: str, value: float) -> str:
    """A number that has no unit, by a format such as ``%.1f``."""
    return with_decimal_sign(form % value)


def render(template: str, **given: Any) -> str:
    """One template with what it is given."""
    return environment().get_template(template).render(**given)


def render_chapter(folder: str, **given: Any) -> str:
    """A chapter by its own template, or by the one for plain pages where it has none."""
    return environment().select_template([f"{folder}/page.html.j2", "plain_page.html.j2"]).render(**given)


def _say(value: float | None, unit: str, digits: int | None = None) -> str:
    from ..record.units import say

    return say(value, unit, digits=digits)


def _plain(value: float | None, unit: str) -> str:
    from ..record.units import plain

    return plain(value, unit)


def note(text: str) -> Any:
    """A note of the record as HTML: emphasis and links, nothing else."""
    from markupsafe import Markup

    from .story import render_note

    return Markup(render_note(text))


def setting(figures: Mapping[str, Figure], number: Callable[[Source], int] | None = None) -> Setting:
    """What statements need to become HTML: a chapter's figures, and the numbering of a page's sources."""
    from ..report.html import Setting

    return Setting(note, figures, number)


def _phrase(phrase: Phrase, within: Setting | None = None) -> Any:
    """What a chapter says, as HTML."""
    from ..report.html import phrase_html

    return phrase_html(phrase, within or setting({}))


def _table(table: Table, figures: Mapping[str, Figure] | Setting) -> Any:
    """A chapter's table as HTML, with the figures that stand in its cells."""
    from ..report.html import Setting, table_html

    return table_html(table, figures if isinstance(figures, Setting) else setting(figures))


def _cell(cell: Cell, within: Setting) -> Any:
    """The lines of a cell that stands by itself, as HTML."""
    from markupsafe import Markup

    from ..report.html import phrase_html

    return Markup("<br>").join(phrase_html(line, within) for line in cell.lines)


def _leads(phrase: Phrase) -> bool:
    """Whether a phrase has links of its own."""
    from ..report.sentence import has_links

    return has_links(phrase)


def day(value: datetime.date | None) -> str:
    """A date as the record writes it."""
    return value.isoformat() if value else "–"


@dataclass(frozen=True)
class PublishedPicture:
    """A picture with the addresses of its variants, relative to the page that shows it."""

    width: int
    height: int
    fallback: str
    sources: Mapping[str, tuple[tuple[str, int], ...]]

    @property
    def mark(self) -> int:
        """The radius of a mark on it, in its own pixels: one that can be hit where it is a quarter of a page wide."""
        return max(self.width, self.height) // 28

    @property
    def largest(self) -> str:
        """The address of the widest JPEG."""
        return max(self.sources["jpeg"], key=lambda one: one[1])[0]

    def srcset(self, format: str) -> str:
        return ", ".join(f"{href} {width}w" for href, width in self.sources[format])


def published(picture: Picture, prefix: str) -> PublishedPicture:
    """A picture's variants under ``prefix`` (``photos/``)."""
    sources = {
        format: tuple((prefix + v.name, v.width) for v in picture.variants if v.format == format)
        for format in ("webp", "jpeg")
    }
    widest = max(v.width for v in picture.variants)
    height = next(v.height for v in picture.variants if v.width == widest)
    return PublishedPicture(widest, height, sources["jpeg"][0][0], sources)


@dataclass(frozen=True, slots=True)
class Entry:
    """A heading of the page: for its own contents list, the theme's, and the search index."""

    level: int
    id: str
    title: str


def headings(html: str) -> list[Entry]:
    """The page's second- and third-level headings, in order; titles are text, not HTML."""
    return [
        Entry(int(level), id, unescape(_TAG.sub("", inner)).strip("¶ \n"))
        for level, id, inner in _HEADING.findall(html)
    ]


def ids(html: str) -> tuple[str, ...]:
    """Every id of the page, for MkDocs' own check of links to anchors."""
    html, begins = _without_drawings(html), 'id="'
    found, at = [], 0
    while (at := html.find(begins, at)) >= 0:
        start = at + len(begins)
        end = html.find('"', start)
        whole = end > start and html[at - 1 : at].isspace()
        found += [html[start:end]] if whole else []
        at = end + 1 if whole else start
    return tuple(found)


def links(html: str) -> tuple[str, ...]:
    """Addresses of other files that the page links to, in order; those that lead to other hosts are left out."""
    return tuple(
        dict.fromkeys(unescape(h) for h in _HREF.findall(html) if not re.match(r"[a-z][a-z0-9+.-]*:|//|#", h, re.I))
    )


def link_targets(link: str, source: str, url: str) -> tuple[str, str, str]:
    """Where a link of the page at ``source`` (``url`` in the site) leads: a source path, an address, and a fragment."""
    parts = urlsplit(link)
    path = unquote(parts.path)
    as_source = posixpath.normpath(posixpath.join(posixpath.dirname(source), path))
    return as_source, posixpath.normpath(posixpath.join(posixpath.dirname(url), path)), parts.fragment


def with_addresses(html: str, addresses: Mapping[str, str]) -> str:
    """The page with each link of ``addresses`` replaced by its address."""
    for link, address in addresses.items():
        html = html.replace(f'href="{escape(link)}"', f'href="{escape(address)}"')
    return html


def in_language(html: str, of_site: str) -> str:
    """The page with its language named where the site's is another: ours is English, the writer's that of the site."""
    if of_site.split("-")[0].split("_")[0].casefold() in ("", "en"):
        return html
    writers = f' lang="{escape(of_site)}"'
    html = re.sub(r'<article class="bl-', '<article lang="en" class="bl-', html)
    return re.sub(r'<(?:div class="bl-words"|p class="bl-record-note")', lambda match: match[0] + writers, html)


def conclusion(html: str) -> str:
    """The sentence a chapter opens with, as text."""
    match = re.search(r'<p class="bl-conclusion">(.*?)</p>', html, re.S)
    return plain_text(match[1]) if match else ""


def with_permalinks(html: str) -> str:
    """The page with a permanent link at the end of each heading, as MkDocs gives to headings of Markdown."""
    link = '<a class="headerlink" href="#{0}" title="Permanent link">&para;</a>'

    def add(match: re.Match[str]) -> str:
        level, id, inner = match.groups()
        if "headerlink" in inner:
            return match[0]
        return f'<h{level} id="{id}">{inner}{link.format(id)}</h{level}>'

    return _HEADING.sub(add, html)


def with_empty_cells_marked(html: str) -> str:
    """The page with a class on each cell that holds nothing but a dash: a card on a phone leaves it out."""
    return _EMPTY_CELL.sub(
        lambda cell: f'<td class="{f"{cell[1]} " if cell[1] else ""}bl-nothing"{cell[2]}>–</td>', html
    )


def without_empty_columns(html: str) -> str:
    """The page without the columns of its plain tables in which every cell is marked as empty."""
    return _PLAIN_TABLE.sub(lambda table: _without_empty_columns(table[0]), html)


def _without_empty_columns(table: str) -> str:
    if "bl-nothing" not in table:
        return table
    rows = [(row, _CELL.findall(row)) for row in _ROW.findall(table)]
    width = len(rows[0][1])
    full = [cells for _, cells in rows[1:] if len(cells) == width]
    if "rowspan" in table or any(len(cells) != width and "bl-group" not in row for row, cells in rows):
        return table
    empty = [at for at in range(width) if full and all(_IS_EMPTY.match(cells[at]) for cells in full)]
    if not empty:
        return table

    def kept(row: re.Match[str]) -> str:
        cells = _CELL.findall(row[0])
        if len(cells) != width:
            return row[0].replace(f'colspan="{width}"', f'colspan="{width - len(empty)}"')
        numbers = iter(range(width))
        return _CELL.sub(lambda cell: "" if next(numbers) in empty else cell[0], row[0])

    return _ROW.sub(kept, table)


def with_whole_dates(html: str) -> str:
    """The page with each date kept on one line: a browser may end a line at either hyphen."""
    kept, done = [], 0
    for end in _MONTH_AND_DAY.finditer(html):
        year = end.start() - 4
        kept += [html[done:year], '<span class="bl-date">', html[year : end.end()], "</span>"]
        done = end.end()
    return "".join([*kept, html[done:]])


def search_html(title: str, top: str, sections: Sequence[tuple[str, str, str]]) -> str:
    """What the search index is given instead of the page: a heading and plain sentences for each section.

    ``sections`` holds id, heading and text. Ids are those of the page, so that a result leads to its chapter.
    """
    parts = [f'<h1 id="{top}">{escape(title)}</h1>']
    for id, heading, text in sections:
        parts.append(f'<h2 id="{id}">{escape(heading)}</h2><p>{escape(text)}</p>' if id else f"<p>{escape(text)}</p>")
    return "\n".join(parts)


def plain_text(html: str) -> str:
    """The words of a piece of our own HTML, without drawings."""
    return " ".join(unescape(_TAG.sub(" ", _INLINE.sub("", _without_drawings(html)))).split())


def _without_drawings(html: str) -> str:
    kept, at, end = [], 0, "</svg>"
    while (begins := html.find("<svg", at)) >= 0 and (ends := html.find(end, begins)) >= 0:
        kept.append(html[at:begins])
        at = ends + len(end)
    return " ".join([*kept, html[at:]])
