"""First power and reforming: how the line was raised, what was read, and how leakage came down."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...anchors import Piece, part_anchor, with_links
from ...bench import Bench
from ...cautions import hangs_on_line
from ...findings import FAULT, Standout
from ...record.model import Record
from ...record.quantities import Quantity
from ...typed import Typed, typed
from .model import PowerUp, Reforming

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class RaisedStep:
    """One step: line volts, line current, how long it ran, and what else was read."""

    line_volts: float | None
    line_amps: float | None
    after_seconds: float | None
    read: str
    note: str
    line: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    amps: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class RaisedLine:
    """One session on a raised line."""

    date: str
    using: str
    steps: tuple[RaisedStep, ...]
    highest_line_volts: float | None
    note: str


@dataclass(frozen=True, slots=True)
class ReformingStep:
    """One reading while a capacitor was reformed."""

    after_seconds: float | None
    amps: float | None
    at_volts: float | None
    note: str
    after: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    current: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    at: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ReformedPart:
    """The reforming of one capacitor. ``of_first`` is its last current as a ratio of its first."""

    part: str
    to: str
    date: str
    steps: tuple[ReformingStep, ...]
    of_first: float | None
    note: str
    pieces: tuple[Piece, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class PowerUpFindings:
    """Sections ``power-up`` and ``reforming``."""

    sessions: tuple[RaisedLine, ...]
    reforming: tuple[ReformedPart, ...]
    hangs_on_line: bool


def examine(record: Record, bench: Bench) -> PowerUpFindings | None:
    """Sessions and reforming; None where neither was written."""
    if not record.power_up and not record.reforming:
        return None
    return PowerUpFindings(
        sessions=tuple(_session(session) for session in record.power_up),
        reforming=tuple(_reformed(str(name), part, record) for name, part in record.reforming.items()),
        hangs_on_line=hangs_on_line(record),
    )


def si(quantity: Quantity | None) -> float | None:
    """A quantity's value in SI, None where there is none."""
    return quantity.si if quantity else None


def _session(session: PowerUp) -> RaisedLine:
    steps = tuple(
        RaisedStep(
            line_volts=si(step.line),
            line_amps=si(step.amps),
            after_seconds=si(step.after),
            read=str(step.read or ""),
            note=str(step.note or ""),
            line=typed(step.line),
            amps=typed(step.amps),
            after=typed(step.after),
        )
        for step in session.steps
    )
    return RaisedLine(
        date=session.date.isoformat() if session.date else "",
        using=str(session.with_ or ""),
        steps=steps,
        highest_line_volts=max((s.line_volts for s in steps if s.line_volts is not None), default=None),
        note=str(session.note or ""),
    )


def _reformed(name: str, part: Reforming, record: Record) -> ReformedPart:
    steps = tuple(
        ReformingStep(
            after_seconds=si(entry.after),
            amps=si(entry.current),
            at_volts=si(entry.at),
            note=str(entry.note or ""),
            after=typed(entry.after),
            current=typed(entry.current),
            at=typed(entry.at),
        )
        for entry in part.log
    )
    currents = [step.amps for step in steps if step.amps is not None]
    return ReformedPart(
        part=name,
        to=str(part.to or ""),
        date=part.date.isoformat() if part.date else "",
        steps=steps,
        of_first=currents[-1] / currents[0] if len(currents) > 1 and currents[0] > 0 else None,
        note=str(part.note or ""),
        pieces=with_links(name, {str(n): part_anchor(n) for n in record.parts}),
    )


def standouts(findings: PowerUpFindings, bench: Bench) -> list[Standout]:
    """A capacitor that drew more at the end of its reforming than at the start."""
    return [
        Standout(
            FAULT,
            f"{part.part} drew {part.of_first:.2g} times as much at the end of reforming as at its start: "
            "it is failing, not forming.",
            "power-up-reforming",
        )
        for part in findings.reforming
        if part.of_first is not None and part.of_first > 1
    ]
