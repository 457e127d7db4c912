"""The chapter in short: within the days of the work; by itself where there is no log, or where the story places it."""

from __future__ import annotations

from ...report.digest import Brief, Digest, remaining
from ...report.sentence import Phrase
from ...report.table import Cell, Column, Row, RowGroup, Table
from ..bench import Bench
from .findings import AlignmentFindings
from .say import standouts
from .wording import MOST_STEPS, session_in_short


def digest(findings: AlignmentFindings, bench: Bench) -> Digest:
    """How many steps it took, and each session in one row."""
    return Digest(
        _conclusion(findings),
        table=_table(findings),
        working="Every step of the alignment" if _is_long(findings) else "",
        brief=Brief(remains=remaining(tuple(standouts(findings, bench)))),
    )


def _is_long(findings: AlignmentFindings) -> bool:
    return any(len(session.steps) > MOST_STEPS for session in findings.sessions)


def _conclusion(findings: AlignmentFindings) -> Phrase:
    steps, sessions = findings.steps, len(findings.sessions)
    when = f" on {sessions} occasions" if sessions > 1 else ""
    return (f"Aligned in {steps} step{'' if steps == 1 else 's'}{when}.",)


def _table(findings: AlignmentFindings) -> Table:
    rows = tuple(
        Row(Cell(((session.date or "no date",),)), (Cell((session_in_short(session),)),))
        for session in findings.sessions
    )
    return Table(
        "Alignment", "Alignment", (Column("Day"), Column("What was adjusted, and what it brought")), (RowGroup(rows),)
    )
