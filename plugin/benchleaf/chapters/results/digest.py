"""The chapter in short: its figures stand at the top of the record, a table where that does not hold them all."""

from __future__ import annotations

from ...record.decibels import say_decibels
from ...report.amount import Origin
from ...report.digest import Brief, Compared, Digest, remaining
from ...report.prose import as_prose, capitalised
from ...report.sentence import Cited, Judged, Link, Phrase, PhrasePart, Styled, text_of
from ...report.source import DECIBELS
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table
from ...report.typed import Typed
from ...report.verdict import Verdict
from ..bench import Bench
from .all_said import conclusion, conditions
from .findings import ComparedResult, ResultsFindings
from .say import standouts
from .times import times

BOTH_WAYS, ONE_WAY = 10, 70
"""Ranks among the figures at the top: a result with before and after, and one with only one of the two."""

MOST_FIGURES = 4
_MOST_BESIDE_A_PAGE = 2
"""Figures at the top of a record whose results have a page of their own."""


def digest(findings: ResultsFindings, bench: Bench) -> Digest:
    """Each result as a figure; all of them in a table where they are many or the writer noted more.

    Where the page has more than the record can hold, the figures are those of before and after, and the rest is there;
    results of which none has both stand in the table all the same, as the top may have better to show.
    """
    results = tuple(result for result in findings.results if not result.is_words)
    working = bool(findings.curves or findings.beside)
    shown = sorted(results, key=_rank)[:_MOST_BESIDE_A_PAGE] if working else results
    remains = remaining(tuple(standouts(findings, bench)))
    above = working and any(_rank(result) == BOTH_WAYS for result in results)
    few = len(findings.results) <= MOST_FIGURES and not any(_is_noted(result) for result in findings.results)
    return Digest(
        conclusion(findings),
        table=None if above else _table(findings.results),
        working="Every result, its curves, and what the set itself allows" if working else "",
        told_above=working or few,
        brief=Brief(compared=tuple(_figure(result, has_page=working) for result in shown), remains=remains),
    )


def _rank(result: ComparedResult) -> int:
    return BOTH_WAYS if result.before_typed and result.after_typed else ONE_WAY


def _is_noted(result: ComparedResult) -> bool:
    return bool(result.note or result.load_typed or result.at or result.standard)


def _name(result: ComparedResult) -> str:
    return result.name + (f", for {result.for_}" if result.for_ else "")


def _figure(result: ComparedResult, *, has_page: bool) -> Compared:
    label = text_of(capitalised(as_prose(_name(result))))
    how = _how(result, has_page=has_page)
    return Compared(_rank(result), label, _value(result.before_typed), _value(result.after_typed), how)


def _value(typed: Typed | None, origin: Origin = Origin.MEASURED) -> Phrase:
    return typed.as_read(origin) if typed else ()


def _how(result: ComparedResult, *, has_page: bool) -> Phrase:
    told: list[PhrasePart] = [*_judged(result)]
    if result.change_db is not None:
        change = say_decibels(abs(result.change_db))
        linked = Link(change, "results", Origin.COMPUTED) if has_page else Styled((change,), Origin.COMPUTED)
        told += [" by ", linked, Cited(DECIBELS)]
    elif result.ratio is not None:
        told += [", ×\u00a0", times(result.ratio)]
    if result.sheet_typed is not None:
        told += ["; sheet " if told else "sheet ", *_value(result.sheet_typed, Origin.PUBLISHED)]
    return tuple(told)


def _judged(result: ComparedResult) -> Phrase:
    if result.better is None:
        return (result.direction,) if result.direction else ()
    return (Judged(Verdict.GOOD if result.better else Verdict.WATCH, (result.direction,)),)


def _table(results: tuple[ComparedResult, ...]) -> Table:
    sheet = any(result.sheet_typed for result in results)
    noted = any(_is_noted(result) for result in results)
    columns = [
        Column("What"),
        Column("Before", NUMBER, Origin.MEASURED),
        Column("After", NUMBER, Origin.MEASURED),
        *([Column("Sheet", NUMBER, Origin.PUBLISHED)] if sheet else []),
        Column("After ÷ before", NUMBER, Origin.COMPUTED),
        Column("Change"),
        *([Column("Note")] if noted else []),
    ]
    rows = tuple(_row(result, sheet=sheet, noted=noted) for result in results)
    return Table("Results", "Measured before and after the work", tuple(columns), (RowGroup(rows),))


def _row(result: ComparedResult, *, sheet: bool, noted: bool) -> Row:
    ratio = Cell(((times(result.ratio),),) if result.ratio is not None else ())
    typed = [result.before_typed, result.after_typed, *([result.sheet_typed] if sheet else [])]
    how: list[PhrasePart] = [*_judged(result)]
    how += [f" by {say_decibels(abs(result.change_db))}", Cited(DECIBELS)] if result.change_db is not None else []
    return Row(
        Cell((capitalised(as_prose(_name(result))),)),
        (
            *(Cell((_value(one),) if one else ()) for one in typed),
            ratio,
            Cell((tuple(how),) if how else ()),
            *([Cell(tuple(conditions(result, with_for=False)))] if noted else []),
        ),
    )
