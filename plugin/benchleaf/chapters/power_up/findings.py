"""First power and reforming: how the line was raised, what was read, and how leakage came down."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.anchors import LinkedText
from ...report.typed import Typed

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
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class PowerUpFindings:
    """Sections ``power-up`` and ``reforming``.

    ``live`` is what counts as connected to the line: ``chassis``, ``B-`` or ``""``.
    """

    sessions: tuple[RaisedLine, ...]
    reforming: tuple[ReformedPart, ...]
    hangs_on_line: bool
    live: str = field(default="", metadata=_PAGE_ONLY)
