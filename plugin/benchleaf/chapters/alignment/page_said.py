"""The chapter's page in full: the cautions, each alignment step by step, and what the bands come to."""

from __future__ import annotations

from dataclasses import dataclass

from ...record.decibels import say_decibels
from ...record.units import NOTHING
from ...report.amount import Amount, Origin
from ...report.prose import as_prose
from ...report.sentence import Link, Note, Phrase, PhrasePart, listed
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.typed import Typed, in_trade_units
from ...words import Words
from ..bench import Bench
from .findings import AdjustedStep, AlignmentFindings, AlignmentSession
from .gains_said import gains_table, gains_working
from .remarks_said import feed_remarks, order_remarks, working_lines
from .swept_said import SweptSaid, curves_said
from .tracking_said import TrackingSaid, images, tracking_said
from .wording import fed_in

_GAINED = (
    "Gained is 20 log (after ÷ before) for volts and amperes, 10 log for watts (ISO 80000-3). AVC volts do not rise in "
    "proportion to the signal, so that the set gained more than they show."
)


@dataclass(frozen=True, slots=True)
class SessionSaid:
    """One alignment: its heading where it needs one, how it was fed and read, its steps, and a note."""

    heading: str
    anchor: str
    pairs: tuple[tuple[str, str], ...]
    table: Table | None
    note: str
    curves: tuple[SweptSaid, ...] = ()
    remarks: tuple[Phrase, ...] = ()
    gains: Table | None = None


@dataclass(frozen=True, slots=True)
class AlignmentSaid:
    """All that the page says. ``bands`` holds what follows.

    ``working`` says what the decibels are, how the curves were worked out, and what stands for an aerial.
    """

    conclusion: Phrase
    caution: str
    sessions: tuple[SessionSaid, ...]
    bands: TrackingSaid | None
    working: tuple[Phrase, ...] = ()


def page_said(findings: AlignmentFindings, bench: Bench) -> AlignmentSaid:
    """What the page says."""
    several = len(findings.sessions) > 1
    gained = any(step.gain_db is not None for session in findings.sessions for step in session.steps)
    return AlignmentSaid(
        _conclusion(findings),
        generator_caution(findings, bench.words),
        tuple(
            _session(one, number, findings, bench.words, several=several)
            for number, one in enumerate(findings.sessions, 1)
        ),
        tracking_said(findings, bench.words) if findings.tracking else None,
        (
            *(((_GAINED,),) if gained else ()),
            *gains_working(findings, bench.words),
            *working_lines(findings, bench.words),
        ),
    )


def _conclusion(findings: AlignmentFindings) -> Phrase:
    if not findings.sessions:
        return listed(images(findings.tracking), " ")
    steps, sessions = findings.steps, findings.sessions
    when = f" on {sessions[0].date}" if sessions[0].date else ""
    when = f" on {len(sessions)} occasions" if len(sessions) > 1 else when
    return (aligned_in(steps, when),)


def aligned_in(steps: int, when: str) -> str:
    """``Aligned in 3 steps on 2026-03-20.``; where no step is written, only levels were read."""
    if not steps:
        return f"Levels were read{when}."
    return f"Aligned in {steps} step{'' if steps == 1 else 's'}{when}."


def generator_caution(findings: AlignmentFindings | None, words: Words) -> str:
    """What a generator's lead does to a set whose chassis or B- is on the line; empty where neither is."""
    if findings is None or not findings.live:
        return ""
    live = "The chassis" if findings.live == "chassis" else words.b_minus
    return (
        f"{live} of this set counts as connected to the {words.line}. Clipping the lead of a generator or meter "
        f"to it makes a short circuit where that lead is {words.earthed}: use an isolating transformer for the "
        "set, and a capacitor in the lead."
    )


def _session(
    session: AlignmentSession, number: int, findings: AlignmentFindings, words: Words, *, several: bool
) -> SessionSaid:
    heading = f"On {session.date}" if session.date else f"Occasion {number}" if several else ""
    fed = in_trade_units(session.generator)
    pairs = tuple((name, text) for name, text in (("Generator", fed), ("Read at", session.meter)) if text)
    curves = curves_said(session, number)
    remarks = (*order_remarks(session), *feed_remarks(session, findings, words))
    return SessionSaid(
        heading, f"alignment-{number}", pairs, _steps(session), session.note, curves, remarks, gains_table(session)
    )


def _steps(session: AlignmentSession) -> Table | None:
    if not session.steps:
        return None
    fed = any(step.into or step.through or step.generator for step in session.steps)
    watched = any(step.meter for step in session.steps)
    noted = any(step.note for step in session.steps)
    columns = [Column("Frequency"), Column("Adjusted")]
    columns += [Column("Fed in")] if fed else []
    columns += [Column("Watched")] if watched else []
    columns += [Column("Before", NUMBER, Origin.MEASURED), Column("After", NUMBER, Origin.MEASURED)]
    columns += [Column("Gained", NUMBER, Origin.COMPUTED)]
    columns += [Column("Note")] if noted else []
    rows = tuple(_step(step, fed=fed, watched=watched, noted=noted) for step in session.steps)
    return Table("Steps of the alignment", "Steps in the order done", tuple(columns), (RowGroup(rows),))


def _step(step: AdjustedStep, *, fed: bool, watched: bool, noted: bool) -> Row:
    adjusted: Phrase = tuple(Link(run.text, run.anchor) if run.anchor else run.text for run in step.linked)
    gained = cell(say_decibels(step.gain_db, signed=True)) if step.gain_db is not None else cell()
    cells = [cell(*adjusted)]
    cells += [cell(*fed_in(step))] if fed else []
    cells += [cell(*as_prose(step.meter))] if watched else []
    after = _typed(step.after_typed)
    level = (("generator, for ", *as_prose(step.for_output)),) if step.for_output else ()
    cells += [_typed(step.before_typed), Cell((*after.lines, *level)), gained]
    cells += [cell(Note(step.note)) if step.note else cell()] if noted else []
    return Row(_frequency(step), tuple(cells))


def _frequency(step: AdjustedStep) -> Cell:
    lines: list[Phrase] = list(_typed(step.frequency).lines)
    if step.wavelength:
        told: list[PhrasePart] = [step.wavelength]
        if step.wavelength_metres:
            told += [" ", Amount(step.frequency_hertz, "Hz", Origin.COMPUTED, digits=4)]
        lines.append(tuple(told))
    for said, value in (("found at ", step.found_at), ("dial read ", step.dial_read), ("dial now ", step.dial_now)):
        lines += [(said, *value.with_its_reading())] if value else []
    return Cell(tuple(lines)) if lines else cell(NOTHING)


def _typed(value: Typed | None) -> Cell:
    return cell(*value.with_its_reading()) if value else cell()
