"""Statements as HTML: the one way that words, cells and tables come onto a page. Everything written is escaped."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Protocol

from markupsafe import Markup, escape

from ..record.units import NOTHING
from .amount import Amount, Origin
from .sentence import Cited, Deviation, Drawing, Formula, Judged, Link, Note, PhrasePart, Styled
from .source import Source
from .table import DECIMAL, NUMBER, Cell, Column, Row, Table, only
from .verdict import Verdict

_POINTED = re.compile(r"([<>≤≥~]?\s*[−+-]?\d[\d\u202f\u00a0]*)([.,]\d+)?(.*)", re.S)
_NO_BREAK = "\u00a0"
_NO_BREAK_HTML = Markup("&nbsp;")


class DrawnFigure(Protocol):
    """A figure that was drawn."""

    @property
    def svg(self) -> str: ...


@dataclass(frozen=True)
class Setting:
    """What HTML needs beside the statements: how a writer's note is made harmless, and the figures by name.

    ``number`` gives a source its number in the page's list; without one a source stands in the text.
    """

    note: Callable[[str], str]
    figures: Mapping[str, DrawnFigure] = field(default_factory=dict)
    number: Callable[[Source], int] | None = None


def phrase_html(words: Iterable[PhrasePart], setting: Setting, *, within: Origin | None = Origin.STATED) -> Markup:
    """Words as HTML. An amount is set as its origin asks, unless all around it, ``within``, is set that way already.

    Where ``within`` is None amounts are set like the words around them.
    """
    return Markup("").join(_part(part, setting, within) for part in words)


def _part(part: PhrasePart, setting: Setting, within: Origin | None) -> Markup:
    if isinstance(part, str):
        said = escape(part)
        return said.replace(_NO_BREAK, _NO_BREAK_HTML) if _NO_BREAK in said else said
    if isinstance(part, Amount):
        return _amount(part, setting, within)
    if isinstance(part, Source) and setting.number is not None:
        return reference(setting.number(part))
    if isinstance(part, Cited):
        return reference(setting.number(part.source)) if setting.number is not None else Markup("")
    if isinstance(part, Link):
        css = Markup(' class="{}"').format(part.origin.css) if part.origin.css else ""
        return Markup('<a{} href="#{}">{}</a>').format(css, part.anchor, part.text)
    if isinstance(part, Judged):
        return _judged(part, setting)
    if isinstance(part, Styled):
        return _run(part, setting, within)
    if isinstance(part, Note):
        return Markup(setting.note(part.text))
    if isinstance(part, Drawing):
        return _drawing(part, setting)
    if isinstance(part, Deviation):
        return _deviation(part)
    return Markup("<code>{}</code>").format(part.text) if isinstance(part, Formula) else escape(part.text)


def _amount(amount: Amount, setting: Setting, within: Origin | None) -> Markup:
    said = escape(amount.text)
    if amount.anchor:
        link = Markup('<a class="{}" href="#{}">{}</a>')
        said = link.format(amount.origin.css if within is not None else "", amount.anchor, said)
    else:
        said = _in_origin(said, amount.origin, within)
    numbered = amount.source is not None and setting.number is not None
    return said + reference(setting.number(amount.source)) if numbered else said  # type: ignore[misc, arg-type]


def reference(number: int) -> Markup:
    """The number of a source in the page's list, leading to it."""
    return Markup('<sup class="bl-ref"><a href="#ref-{0}">{0}</a></sup>').format(number)


def _in_origin(html: Markup, origin: Origin, within: Origin | None) -> Markup:
    if within is None or not origin.css or origin is within:
        return html
    return Markup(f'<span class="{escape(origin.css)}">{escape(html)}</span>')


def _judged(judged: Judged, setting: Setting) -> Markup:
    said = verdict_html(phrase_html(judged.words, setting, within=None), judged.verdict)
    return said + Markup(" ") + phrase_html(judged.beside, setting, within=None) if judged.beside else said


def verdict_html(words: Markup, verdict: Verdict) -> Markup:
    """Words under the sign of a verdict."""
    return Markup(f'<span class="bl-verdict bl-{escape(verdict.css)}">{escape(words)}</span>')


def _run(run: Styled, setting: Setting, within: Origin | None) -> Markup:
    if isinstance(run.style, Origin):
        return _in_origin(phrase_html(run.words, setting, within=run.style), run.style, within)
    return Markup('<span class="bl-{}">{}</span>').format(run.style, phrase_html(run.words, setting, within=within))


def _drawing(drawing: Drawing, setting: Setting) -> Markup:
    figure = setting.figures.get(drawing.name)
    if figure is None:
        return Markup("")
    label = Markup('<span class="bl-hint">{}</span><br>').format(drawing.label) if drawing.label else ""
    return Markup("{}{}").format(label, Markup(figure.svg))


def _deviation(deviation: Deviation) -> Markup:
    from ..drawing.bars import tolerance_mark

    return Markup(tolerance_mark(deviation.ratio, deviation.tolerance))


def aligned(text: str) -> Markup:
    """A number with its unit, split at the decimal point so that a column lines up on it."""
    match = _POINTED.match(text)
    if not match:
        return Markup(f'<span class="bl-number">{escape(text)}</span>')
    whole, fraction = escape(match[1]), escape(f"{match[2] or ''}{match[3]}")
    return Markup(
        f'<span class="bl-number"><span class="bl-whole">{whole}</span><span class="bl-part">{fraction}</span></span>'
    )


def table_html(table: Table, setting: Setting) -> Markup:
    """A table that scrolls inside itself and, unless its kind forbids, becomes cards on a narrow screen, each cell with
    its column's heading."""
    heads = Markup("").join(Markup('<th scope="col">{}</th>').format(column.heading) for column in table.columns)
    bodies = Markup("\n").join(_group(table, number, setting) for number in range(len(table.groups)))
    return Markup(
        '<div class="bl-wide" tabindex="0" role="region" aria-label="{}"><table class="bl-table{}">\n'
        "<caption>{}</caption>\n<thead><tr>{}</tr></thead>\n{}\n\n</table></div>"
    ).format(table.label, f" {table.kind}" if table.kind else "", table.caption, heads, bodies)


def _group(table: Table, number: int, setting: Setting) -> Markup:
    group = table.groups[number]
    head = Markup("\n")
    if group.heading:
        head = Markup(
            '<tr class="bl-group"><th scope="rowgroup" colspan="{}"><span class="bl-held">{}</span></th></tr>\n'
        ).format(len(table.columns), group.heading)
    rows = Markup("").join(_row(row, table.columns[1:], setting) for row in group.rows)
    return Markup("<tbody{}>{}{}</tbody>").format(Markup("" if table.kind else ' class="bl-stack"'), head, rows)


def _row(row: Row, columns: tuple[Column, ...], setting: Setting) -> Markup:
    anchor = Markup(' id="{}"').format(row.anchor) if row.anchor else ""
    also = Markup('<span id="{}"></span>').format(row.also) if row.also else ""
    head = _lines(row.head, setting, Origin.STATED, plain=True)
    cells, at = [], 0
    for cell in row.cells:
        cells.append(_cell(cell, columns[at], setting))
        at += cell.span
    rest = Markup("\n").join(cells)
    return Markup(f'<tr{anchor}><th scope="row">{also}{head}</th>\n{rest}</tr>\n')


def _cell(cell: Cell, column: Column, setting: Setting) -> Markup:
    origin = column.origin if cell.origin is None else cell.origin
    inner = _lines(cell, setting, origin, plain=column.align != DECIMAL)
    classes = " ".join(
        name
        for name in ("num" if column.align in (NUMBER, DECIMAL) else "", origin.css, "" if inner else "bl-nothing")
        if name
    )
    css = f' class="{escape(classes)}"' if classes else ""
    span = f' colspan="{escape(cell.span)}"' if cell.span > 1 else ""
    return Markup(f'<td{css} data-label="{escape(column.heading)}"{span}>{inner or NOTHING}</td>')


def _lines(cell: Cell, setting: Setting, origin: Origin, *, plain: bool) -> Markup:
    """The lines that have anything to show; a number that stands by itself is lined up on its decimal point."""
    first = None if plain else only(cell)
    made = [phrase_html(line, setting, within=origin) for line in cell.lines]
    if first is not None:
        made[0] = aligned(first.text)
    return Markup("<br>").join(line for line in made if line)
