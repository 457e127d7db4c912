"""What each stage amplifies, in a table beside what is worked out of it, and how both were come by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.decibels import say_decibels
from ...record.figures import to_figures
from ...report.amount import Origin
from ...report.anchors import tube_anchor
from ...report.prose import as_prose
from ...report.sentence import Judged, Link, Phrase, Styled, aside
from ...report.source import COMMON_PRACTICE
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from ...words.decimal_sign import with_decimal_sign

if TYPE_CHECKING:
    from ...words import Words
    from .findings import AlignmentFindings, AlignmentSession
    from .stage_gains import StageGain

_VERDICTS = {
    "within": (Verdict.GOOD, "as worked out"),
    "low": (Verdict.WATCH, "less than worked out"),
    "high": (Verdict.WATCH, "more than worked out"),
}


def gains_table(session: AlignmentSession) -> Table | None:
    """From point to point in the order of the signal; None where no levels were read."""
    if not session.gains:
        return None
    columns = [
        Column("From"),
        Column("To"),
        Column("Gained", NUMBER, Origin.COMPUTED),
        Column("Worked out", NUMBER, Origin.COMPUTED),
        Column("Which is"),
    ]
    rows = tuple(_row(one) for one in session.gains)
    caption = "Gain by stage, from the levels that gave the same output"
    return Table("Gain by stage", caption, tuple(columns), (RowGroup(rows),))


def _row(one: StageGain) -> Row:
    at = Link(one.at, tube_anchor(one.tube)) if one.tube else one.at
    gained = (_times(one.gain_times),), (aside(say_decibels(one.gain_db, signed=True)),)
    expected: tuple[Phrase, ...] = ()
    if one.worked_out_times is not None and one.low_times is not None and one.high_times is not None:
        ends = (_times(one.low_times), " to ", _times(one.high_times))
        expected = ((_times(one.worked_out_times),), (aside(*ends),))
    cells = (
        Cell(((one.towards,), (aside(*as_prose(one.next_level)),))),
        Cell(gained),
        Cell(expected),
        cell(*_which(one)),
    )
    return Row(Cell(((at,), (aside(*as_prose(one.level)),))), cells)


def _times(value: float) -> Styled:
    return Styled((f"× {with_decimal_sign(f'{to_figures(value, 2):g}')}",), Origin.COMPUTED)


def _which(one: StageGain) -> Phrase:
    if one.verdict:
        verdict, words = _VERDICTS[one.verdict]
        inside = (one.low_times or 0) <= one.gain_times <= (one.high_times or math.inf)
        return (Judged(verdict, (words if inside or one.verdict != "within" else f"nearly {words}",)),)
    if one.changes_frequency:
        return ("at two frequencies: with the mixer or the detector between",)
    if one.stage:
        return ("its gain is not worked out",)
    return ("not worked out: a transformer or a further stage may lie between",)


def gains_working(findings: AlignmentFindings, words: Words) -> Iterator[Phrase]:
    """How the gains were come by."""
    if not any(session.gains for session in findings.sessions):
        return
    yield (
        "Gain by stage: the level at a point is divided by that at the point before it, both for the same output, and "
        "20 log of that are its decibels.",
    )
    if not any(one.verdict for session in findings.sessions for one in session.gains):
        return
    yield (
        "The gain worked out is that of the ",
        Link("voltages", "voltages"),
        f", from the grid to the {words.plate} of one stage with the next as its load, with the ends it may lie "
        "between; a measured one counts as off where it lies a quarter beyond them, as levels are set with a "
        "generator’s attenuator (",
        COMMON_PRACTICE,
        ").",
    )
