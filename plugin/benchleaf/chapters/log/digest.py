"""The chapter in short: the days of the work in one table; by months that open where they are many."""

from __future__ import annotations

import calendar
import datetime
from itertools import groupby

from ...report.amount import Amount, Origin
from ...report.digest import Digest, Folded
from ...report.sentence import Phrase, PhrasePart
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table
from ..bench import Bench
from .findings import LogFindings, LoggedDay
from .wording import came_of_it, work

KIND = "bl-days"
"""A table whose day and time stay beside the work on a narrow screen."""
MOST_ROWS = 14
"""Days shown one below the other; more are folded by month."""


def digest(findings: LogFindings, bench: Bench) -> Digest:
    """Hours and sittings, and every day of the work."""
    days = findings.days
    folded = len(days) > MOST_ROWS
    return Digest(
        _conclusion(findings),
        table=None if folded else _table("LoggedDay by day", "The sittings, and what else was done on each day", days),
        folded=tuple(_months(days)) if folded else (),
        working="The log as it was written" if folded else "",
    )


def _conclusion(findings: LogFindings) -> Phrase:
    sittings = len(findings.sittings)
    told: list[PhrasePart] = []
    if findings.total_seconds:
        told += [Amount(findings.total_seconds, "s", Origin.COMPUTED), " in "]
    told.append(f"{sittings} sitting{'' if sittings == 1 else 's'}")
    if findings.first:
        span = dict.fromkeys((findings.first, findings.last))
        told.append(", " + " to ".join(_in_words(datetime.date.fromisoformat(day)) for day in span))
    if findings.total_seconds and findings.without_time:
        told.append(f"; {findings.without_time} of them without a time")
    return (*told, ".")


def _in_words(day: datetime.date) -> str:
    return f"{day.day} {calendar.month_name[day.month]} {day.year}"


def _table(label: str, caption: str, days: tuple[LoggedDay, ...]) -> Table:
    years = list(dict.fromkeys(day.date.year for day in days if day.date))
    columns = (
        Column(str(years[0]) if len(years) == 1 else "Day"),
        Column("Time", NUMBER),
        Column("Work"),
        Column("What came of it"),
    )
    if len(years) < 2:
        return Table(label, caption, columns, (RowGroup(tuple(map(_row, days))),), KIND)
    groups = groupby(days, key=lambda day: str(day.date.year) if day.date else "No date")
    return Table(label, caption, columns, tuple(RowGroup(tuple(map(_row, of)), year) for year, of in groups), KIND)


def _months(days: tuple[LoggedDay, ...]) -> list[Folded]:
    """The days of each month, under its name and what they come to."""
    found = []
    for month, of_month in groupby(days, key=_month):
        rows = tuple(of_month)
        seconds = sum(day.sitting.seconds or 0.0 for day in rows if day.sitting)
        count = f"{len(rows)} day{'' if len(rows) == 1 else 's'}"
        hours = f", {Amount(seconds, 's').text}" if seconds else ""
        found.append(Folded(f"{month}: {count}{hours}", _table(month, month, rows)))
    return found


def _month(day: LoggedDay) -> str:
    return f"{calendar.month_name[day.date.month]} {day.date.year}" if day.date else "No date"


def _row(day: LoggedDay) -> Row:
    date = f"{day.date.day}\u00a0{calendar.month_abbr[day.date.month]}" if day.date else "no date"
    time = day.sitting.time if day.sitting else None
    cells = (Cell((time.as_read(Origin.STATED),)) if time else Cell(), Cell((work(day),)), Cell(came_of_it(day)))
    return Row(Cell(((date,),)), cells)
