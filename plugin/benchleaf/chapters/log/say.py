"""What it comes to, in sentences and tables."""

from __future__ import annotations

import datetime

from ...report.amount import Amount, Origin
from ...report.anchors import day_anchor
from ...report.day_in_words import day_in_words
from ...report.plain_page import PlainPage
from ...report.sentence import Phrase, PhrasePart, Sentence
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from ...words import Words
from ..bench import Bench
from .findings import LogFindings, LoggedDay
from .wording import came_of_it, rest_of_day, work

DAYS = "bl-days"
"""A table whose day and time stay beside the work on a narrow screen."""
_HOURS = (
    (
        "A line counts for the kind of work that its first telling word names, so that a line for each kind of work "
        "divides the hours (common practice, no source).",
    ),
)


def standouts(findings: LogFindings, bench: Bench) -> list[Sentence]:
    """Nothing: a log is read, not judged."""
    return []


def said(findings: LogFindings, bench: Bench) -> PlainPage:
    """The chapter's page: all that the record has on a day, and the hours by kind of work."""
    kinds = _kinds(findings, bench.words)
    return PlainPage(
        Sentence(Verdict.PLAIN, conclusion(findings)),
        (_days(findings, bench.words), *kinds),
        working=_HOURS if kinds else (),
    )


def conclusion(findings: LogFindings) -> Phrase:
    """Hours and sittings, and the days they lie between; without a log how many days the record speaks of."""
    sittings = findings.worked or len(findings.sittings)
    if not sittings:
        worked = sum(day.events.of_work for day in findings.days)
        return (f"Work on {worked} days, {_between(findings)}; no hours were written.",)
    told: list[PhrasePart] = []
    if findings.total_seconds:
        told += [Amount(findings.total_seconds, "s", Origin.COMPUTED), " in "]
    told.append(f"{sittings} sitting{'' if sittings == 1 else 's'}")
    if findings.first:
        told.append(f", {_between(findings)}")
    if findings.total_seconds and findings.without_time:
        told.append(f"; {findings.without_time} of them without a time")
    return (*told, ".")


def _between(findings: LogFindings) -> str:
    span = dict.fromkeys((findings.first, findings.last))
    return " to ".join(day_in_words(datetime.date.fromisoformat(day)) for day in span)


def _days(findings: LogFindings, words: Words) -> Table:
    columns = (Column("Day"), Column("Time", NUMBER), Column("Work"), Column("What came of it, and what was read"))
    rows = tuple(_row(day, words) for day in findings.days)
    return Table("Day by day", "All that the record has on a day, in order", columns, (RowGroup(rows),), DAYS)


def _row(day: LoggedDay, words: Words) -> Row:
    iso = day.date.isoformat() if day.date else ""
    sitting = day.sitting
    time: list[Phrase] = [sitting.time.as_read(Origin.STATED)] if sitting and sitting.time else []
    time += [(sitting.clock,)] if sitting and sitting.clock else []
    lines = (*came_of_it(day), *rest_of_day(day, words))
    return Row(
        cell(iso or "no date"),
        (Cell(tuple(time)), Cell((work(day),)), Cell(lines)),
        anchor=day_anchor(iso) if iso and day.first else "",
    )


def _kinds(findings: LogFindings, words: Words) -> tuple[Table, ...]:
    """The hours of each kind of work; nothing where no line says a time."""
    if not findings.total_seconds:
        return ()
    rows = tuple(
        Row(
            cell(_in_dialect(one.kind, words)),
            (
                cell(Amount(one.seconds, "s", Origin.COMPUTED)) if one.seconds else Cell(),
                cell(f"{one.sittings}{f', {one.without_time} without a time' if one.without_time else ''}"),
            ),
        )
        for one in findings.by_kind
    )
    columns = (Column("Kind of work"), Column("Time", NUMBER), Column("Sittings", NUMBER))
    return (Table("Hours by kind of work", "Hours by kind of work", columns, (RowGroup(rows),)),)


def _in_dialect(kind: str, words: Words) -> str:
    return {"tubes": words.tubes, "line side": f"{words.line} side"}.get(kind, kind)
