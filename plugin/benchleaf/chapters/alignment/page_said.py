"""The chapter's page in full: the cautions, each alignment step by step, and what the bands come to."""

from __future__ import annotations

from dataclasses import dataclass

from ...record.decibels import say_decibels
from ...report.amount import Amount, Origin
from ...report.sentence import READ, Link, Note, Phrase, PhrasePart, Styled, listed
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.typed import Typed
from ..bench import Bench
from .findings import AdjustedStep, AlignmentFindings, AlignmentSession
from .tracking_said import TrackingSaid, images, tracking_said

_NOTHING = "–"
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


@dataclass(frozen=True, slots=True)
class AlignmentSaid:
    """All that the page says. ``gained`` explains decibels where there are any, ``bands`` holds what follows."""

    conclusion: Phrase
    caution: str
    sessions: tuple[SessionSaid, ...]
    gained: str
    bands: TrackingSaid | None


def page_said(findings: AlignmentFindings, bench: Bench) -> AlignmentSaid:
    """What the page says."""
    several = len(findings.sessions) > 1
    gained = any(step.gain_db is not None for session in findings.sessions for step in session.steps)
    return AlignmentSaid(
        _conclusion(findings),
        _caution(findings, bench),
        tuple(_session(one, number, several=several) for number, one in enumerate(findings.sessions, 1)),
        _GAINED if gained else "",
        tracking_said(findings, bench.words) if findings.tracking else None,
    )


def _conclusion(findings: AlignmentFindings) -> Phrase:
    if not findings.sessions:
        return listed(images(findings.tracking), " ")
    steps, sessions = findings.steps, findings.sessions
    when = f" on {sessions[0].date}" if sessions[0].date else ""
    when = f" on {len(sessions)} occasions" if len(sessions) > 1 else when
    return (f"Aligned in {steps} step{'' if steps == 1 else 's'}{when}.",)


def _caution(findings: AlignmentFindings, bench: Bench) -> str:
    """What a generator's lead does to a set whose chassis or B- is on the line; empty where neither is."""
    if not findings.live:
        return ""
    live = "The chassis" if findings.live == "chassis" else bench.words.b_minus
    return (
        f"{live} of this set counts as connected to the {bench.words.line}. Clipping the lead of a generator or meter "
        f"to it makes a short circuit where that lead is {bench.words.earthed}: use an isolating transformer for the "
        "set, and a capacitor in the lead."
    )


def _session(session: AlignmentSession, number: int, *, several: bool) -> SessionSaid:
    heading = f"On {session.date}" if session.date else f"Occasion {number}" if several else ""
    pairs = tuple((name, text) for name, text in (("Generator", session.generator), ("Read at", session.meter)) if text)
    return SessionSaid(heading, f"alignment-{number}", pairs, _steps(session), session.note)


def _steps(session: AlignmentSession) -> Table | None:
    if not session.steps:
        return None
    noted = any(step.note for step in session.steps)
    columns = [Column("Frequency"), Column("Adjusted"), Column("Before", NUMBER, Origin.MEASURED)]
    columns += [Column("After", NUMBER, Origin.MEASURED), Column("Gained", NUMBER, Origin.COMPUTED)]
    columns += [Column("Note")] if noted else []
    rows = tuple(_step(step, noted=noted) for step in session.steps)
    return Table("Steps of the alignment", "Steps in the order done", tuple(columns), (RowGroup(rows),))


def _step(step: AdjustedStep, *, noted: bool) -> Row:
    adjusted: Phrase = tuple(Link(run.text, run.anchor) if run.anchor else run.text for run in step.linked)
    gained = cell(say_decibels(step.gain_db, signed=True)) if step.gain_db is not None else cell()
    cells = [cell(*adjusted), _typed(step.before_typed), _typed(step.after_typed), gained]
    cells += [cell(Note(step.note)) if step.note else cell()] if noted else []
    return Row(_frequency(step), tuple(cells))


def _frequency(step: AdjustedStep) -> Cell:
    lines: list[Phrase] = list(_typed(step.frequency).lines)
    if step.wavelength:
        told: list[PhrasePart] = [step.wavelength]
        if step.wavelength_metres:
            told += [" ", Amount(step.frequency_hertz, "Hz", Origin.COMPUTED, digits=4)]
        lines.append(tuple(told))
    return Cell(tuple(lines)) if lines else cell(_NOTHING)


def _typed(value: Typed | None) -> Cell:
    """A value as it was typed and, where it could be read otherwise, what it was read as."""
    if value is None:
        return cell()
    if value.everyday:
        return cell(value.text)
    return cell(value.text, " ", Styled(("read as ", Amount(value.si, value.unit)), READ))
