"""The chapter in short: within the days of the work; by itself where there is no log, or where the story places it."""

from __future__ import annotations

from ...report.amount import Amount, Origin
from ...report.digest import Brief, Digest, remaining
from ...report.sentence import Phrase, PhrasePart
from ...report.table import Cell, Column, Row, RowGroup, Table
from ..bench import Bench
from .findings import NOT_MEASURED, PowerUpFindings
from .say import cold_put_right, standouts
from .wording import MOST_STEPS, cold_in_short, reforming_in_short, session_in_short


def digest(findings: PowerUpFindings, bench: Bench) -> Digest:
    """How high the line was brought, and each session and reforming in one row."""
    steps = [*(len(each.steps) for each in findings.sessions), *(len(each.steps) for each in findings.reforming)]
    return Digest(
        _conclusion(findings, bench),
        table=_table(findings),
        working=_working(findings, max(steps, default=0)),
        brief=Brief(
            wrong=tuple(cold_put_right(findings)),
            remains=remaining(tuple(standouts(findings, bench))),
        ),
    )


def _working(findings: PowerUpFindings, most_steps: int) -> str:
    if findings.curve:
        return "What each step should draw"
    if findings.before_power:
        return "What an ohmmeter should show before power"
    return "Every step, and how it was read" if most_steps > MOST_STEPS else ""


def _conclusion(findings: PowerUpFindings, bench: Bench) -> Phrase:
    told: list[PhrasePart] = [*_cold(findings)]
    last = findings.last_raised
    if last is not None:
        highest = last.highest_line_volts
        what = f"the {bench.words.line} was brought up" if highest is not None else "the set was brought up"
        told += ["; " if told else "", what if told else what[0].upper() + what[1:]]
        told += [" to ", Amount(highest, "V", Origin.MEASURED)] if highest is not None else []
        told += [f" in {len(last.steps)} step{'' if len(last.steps) == 1 else 's'}"] if last.steps else []
        many = findings.times_raised
        told += [f", the last of {many} sessions"] if many > 1 else []
    if findings.reforming:
        count = len(findings.reforming)
        told += ["; " if told else "", f"{count} capacitor{' was' if count == 1 else 's were'} reformed"]
    return (*told, ".")


def _cold(findings: PowerUpFindings) -> Phrase:
    read = [check for check in findings.before_power if check.verdict != NOT_MEASURED]
    again = sum(check.open for check in read)
    if not read:
        return ()
    ends = f", {again} to look at again" if again else ""
    return (f"{len(read)} cold check{'' if len(read) == 1 else 's'} before power{ends}",)


def _table(findings: PowerUpFindings) -> Table:
    read = [check for check in findings.before_power if check.verdict != NOT_MEASURED]
    by_day = {date: [check for check in read if check.date == date] for date in dict.fromkeys(c.date for c in read)}
    rows = [Row(_day(date), (Cell((cold_in_short(checks),)),)) for date, checks in by_day.items()]
    rows += [Row(_day(session.date), (Cell((session_in_short(session),)),)) for session in findings.sessions]
    rows += [Row(_day(part.date), (Cell((reforming_in_short(part),)),)) for part in findings.reforming]
    columns = (Column("Day"), Column("What was done and read"))
    caption = "Cold checks, first power and reforming" if read else "First power and reforming"
    return Table("Power-up", caption, columns, (RowGroup(tuple(rows)),))


def _day(date: str) -> Cell:
    return Cell(((date or "no date",),))
