"""Alignment: the steps as they were done, and what each of them brought."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...anchors import Piece, part_anchor, tube_anchor, with_links
from ...bench import Bench
from ...cautions import hangs_on_line
from ...findings import NOTE, Standout
from ...record.model import Record
from ...typed import Typed, typed
from ...comparison import decibels

_PAGE_ONLY: dict[str, Any] = {"json": False}
_LOST_DB = -0.5
"""A change smaller than this is the meter's: half a decibel is 6 % of the volts. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class AdjustedStep:
    """One adjustment. ``before`` and ``after`` are in ``unit``; ``gain_db`` compares them, None where it cannot be."""

    frequency_hertz: float | None
    adjust: str
    before: float | None
    after: float | None
    unit: str
    gain_db: float | None
    note: str
    frequency: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    before_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    pieces: tuple[Piece, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class AlignmentSession:
    """One alignment and how it was fed and read."""

    date: str
    generator: str
    meter: str
    steps: tuple[AdjustedStep, ...]
    note: str


@dataclass(frozen=True, slots=True)
class AlignmentFindings:
    """Section ``alignment``."""

    sessions: tuple[AlignmentSession, ...]
    steps: int
    hangs_on_line: bool


def examine(record: Record, bench: Bench) -> AlignmentFindings | None:
    """The alignments; None where none was written."""
    if not record.alignment:
        return None
    anchors = {str(n): tube_anchor(n) for n in record.tubes} | {str(n): part_anchor(n) for n in record.parts}
    sessions = []
    for alignment in record.alignment:
        steps = []
        for step in alignment.steps:
            before, after = step.before, step.after
            units = {quantity.unit for quantity in (before, after) if quantity}
            steps.append(
                AdjustedStep(
                    frequency_hertz=step.frequency.si if step.frequency else None,
                    adjust=str(step.adjust or ""),
                    before=before.si if before else None,
                    after=after.si if after else None,
                    unit=units.pop() if len(units) == 1 else "",
                    gain_db=decibels(before, after),
                    note=str(step.note or ""),
                    frequency=typed(step.frequency),
                    before_typed=typed(before),
                    after_typed=typed(after),
                    pieces=with_links(str(step.adjust or ""), anchors),
                )
            )
        sessions.append(
            AlignmentSession(
                date=alignment.date.isoformat() if alignment.date else "",
                generator=str(alignment.generator or ""),
                meter=str(alignment.meter or ""),
                steps=tuple(steps),
                note=str(alignment.note or ""),
            )
        )
    return AlignmentFindings(tuple(sessions), sum(len(s.steps) for s in sessions), hangs_on_line(record))


def standouts(findings: AlignmentFindings, bench: Bench) -> list[Standout]:
    """Adjustments for maximum that made the signal smaller."""
    return [
        Standout(
            NOTE,
            f"Alignment at {step.frequency.text}: the reading fell by {-step.gain_db:.1f} dB although it was adjusted for "
            "maximum.",
            "alignment",
        )
        for session in findings.sessions
        for step in session.steps
        if step.gain_db is not None and step.gain_db < _LOST_DB and step.frequency and "max" in step.adjust.casefold()
    ]
