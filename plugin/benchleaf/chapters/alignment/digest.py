"""The chapter in short: within the days of the work; by itself where there is no log, or where the story places it."""

from __future__ import annotations

from ...report.digest import Brief, Digest, remaining
from ...report.sentence import Phrase
from ...report.table import Cell, Column, Row, RowGroup, Table
from ..bench import Bench
from .findings import AlignmentFindings
from .page_said import aligned_in
from .say import standouts
from .tracking_said import images, in_short
from .wording import MOST_STEPS, session_in_short


def digest(findings: AlignmentFindings, bench: Bench) -> Digest:
    """How many steps it took, each session in one row, and what the gang comes to; without a session, the image."""
    said = [_conclusion(findings)] if findings.sessions else images(findings.tracking)
    return Digest(
        said[0],
        more=tuple(said[1:]),
        table=_table(findings) if findings.sessions else None,
        small=in_short(findings),
        working=_working(findings),
        brief=Brief(remains=remaining(tuple(standouts(findings, bench)))),
    )


def _working(findings: AlignmentFindings) -> str:
    """What its own page holds beside this."""
    if any(session.response or session.response_before or session.s_curve for session in findings.sessions):
        return f"Every step and the response as swept{', dial and image' if findings.tracking else ''}"
    if findings.tracking:
        return "Dial, image and tracking"
    return "Every step of the alignment" if _is_long(findings) or _is_fed(findings) else ""


def _is_fed(findings: AlignmentFindings) -> bool:
    """Whether a step says how it was fed or watched, or levels were read, which the record has no room for."""
    steps = (step for session in findings.sessions for step in session.steps)
    levels = any(session.gains for session in findings.sessions)
    return levels or any(step.into or step.through or step.generator or step.meter for step in steps)


def _is_long(findings: AlignmentFindings) -> bool:
    return any(len(session.steps) > MOST_STEPS for session in findings.sessions)


def _conclusion(findings: AlignmentFindings) -> Phrase:
    steps, sessions = findings.steps, len(findings.sessions)
    when = f" on {sessions} occasions" if sessions > 1 else ""
    return (aligned_in(steps, when),)


def _table(findings: AlignmentFindings) -> Table:
    rows = tuple(
        Row(Cell(((session.date or "no date",),)), (Cell((session_in_short(session),)),))
        for session in findings.sessions
    )
    return Table(
        "Alignment", "Alignment", (Column("Day"), Column("What was adjusted, and what it brought")), (RowGroup(rows),)
    )
