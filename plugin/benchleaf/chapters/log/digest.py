"""The chapter in short: the days of the work in one table; by months that open where they are many."""

from __future__ import annotations

import calendar
from dataclasses import replace
from itertools import groupby

from ...report.amount import Amount, Origin
from ...report.digest import Digest, Folded
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table
from ..bench import Bench
from .findings import Events, LogFindings, LoggedDay
from .say import DAYS, conclusion
from .wording import came_of_it, work

MOST_ROWS = 14
"""Days shown one below the other; more are folded by month."""


def digest(findings: LogFindings, bench: Bench) -> Digest:
    """Hours and sittings, and every day of the work."""
    days = tuple(day for whole in findings.days if (day := _on_record(whole)))
    folded = len(days) > MOST_ROWS
    return Digest(
        conclusion(findings),
        table=None if folded or not days else _table("Day by day", "Sittings, and what else was done each day", days),
        folded=tuple(_months(days)) if folded else (),
        working=_working(findings, folded=folded),
    )


def _on_record(day: LoggedDay) -> LoggedDay | None:
    """A day with what the record tells of it; None where that is nothing."""
    events = day.events.on_record
    return replace(day, events=events) if day.sitting or events != Events() else None


def _working(findings: LogFindings, *, folded: bool) -> str:
    """What its own page holds beside this."""
    more = any(day.events != day.events.on_record for day in findings.days)
    told = ["all days"] if folded or more or not findings.sittings else []
    told += ["hours by kind of work"] if len(findings.by_kind) > 1 and findings.total_seconds else []
    said = ", ".join(told)
    return said[:1].upper() + said[1:]


def _table(label: str, caption: str, days: tuple[LoggedDay, ...]) -> Table:
    years = list(dict.fromkeys(day.date.year for day in days if day.date))
    columns = (
        Column(str(years[0]) if len(years) == 1 else "Day"),
        Column("Time", NUMBER),
        Column("Work"),
        Column("What came of it"),
    )
    if len(years) < 2:
        return Table(label, caption, columns, (RowGroup(tuple(map(_row, days))),), DAYS)
    groups = groupby(days, key=lambda day: str(day.date.year) if day.date else "No date")
    return Table(label, caption, columns, tuple(RowGroup(tuple(map(_row, of)), year) for year, of in groups), DAYS)


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
