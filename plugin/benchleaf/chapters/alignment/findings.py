"""Alignment: the steps as they were done, and what each of them brought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ...anchors import Piece, part_anchor, tube_anchor, with_links
from ...bench import Bench
from ...cautions import hangs_on_line
from ...comparison import decibels
from ...findings import NOTE, Standout
from ...record.model import Record
from ...typed import Typed, typed
from .model import AlignmentStep

_PAGE_ONLY: dict[str, Any] = {"json": False}
SPEED_OF_LIGHT = 299_792_458.0
"""In metres a second, exact (SI)."""

_LOST_DB = -0.5
"""A change smaller than this is the meter's: half a decibel is 6 % of the volts. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class AdjustedStep:
    """One adjustment. ``before`` and ``after`` are in ``unit``; ``gain_db`` compares them, None where it cannot be.

    ``frequency_hertz`` is that of the wavelength where only a wavelength was written.
    """

    frequency_hertz: float | None
    wavelength_metres: float | None
    adjust: str
    before: float | None
    after: float | None
    unit: str
    gain_db: float | None
    note: str
    frequency: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    wavelength: str = field(default="", metadata=_PAGE_ONLY)
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
    sessions = tuple(
        AlignmentSession(
            date=alignment.date.isoformat() if alignment.date else "",
            generator=str(alignment.generator or ""),
            meter=str(alignment.meter or ""),
            steps=tuple(_step(step, anchors) for step in alignment.steps),
            note=str(alignment.note or ""),
        )
        for alignment in record.alignment
    )
    return AlignmentFindings(sessions, sum(len(s.steps) for s in sessions), hangs_on_line(record))


def _step(step: AlignmentStep, anchors: Mapping[str, str]) -> AdjustedStep:
    before, after = step.before, step.after
    units = {quantity.unit for quantity in (before, after) if quantity}
    metres = step.wavelength.si if step.wavelength else None
    hertz = step.frequency.si if step.frequency else SPEED_OF_LIGHT / metres if metres else None
    return AdjustedStep(
        frequency_hertz=hertz,
        wavelength_metres=metres,
        adjust=str(step.adjust or ""),
        before=before.si if before else None,
        after=after.si if after else None,
        unit=units.pop() if len(units) == 1 else "",
        gain_db=decibels(before, after),
        note=str(step.note or ""),
        frequency=typed(step.frequency),
        wavelength=step.wavelength.written if step.wavelength else "",
        before_typed=typed(before),
        after_typed=typed(after),
        pieces=with_links(str(step.adjust or ""), anchors),
    )


def standouts(findings: AlignmentFindings, bench: Bench) -> list[Standout]:
    """Adjustments for maximum that made the signal smaller."""
    return [
        Standout(
            NOTE,
            f"Alignment at {step.frequency.text if step.frequency else step.wavelength}: the reading fell by "
            f"{-step.gain_db:.1f} dB although it was adjusted for maximum.",
            "alignment",
        )
        for session in findings.sessions
        for step in session.steps
        if step.gain_db is not None
        and step.gain_db < _LOST_DB
        and (step.frequency or step.wavelength)
        and "max" in step.adjust.casefold()
    ]
