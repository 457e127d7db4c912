"""Alignment: the steps as they were done, and what each of them brought."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.anchors import LinkedText
from ...report.typed import Typed

_PAGE_ONLY: dict[str, Any] = {"json": False}


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
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


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
    """Section ``alignment``. ``live`` is what counts as connected to the line: ``chassis``, ``B-`` or ``""``."""

    sessions: tuple[AlignmentSession, ...]
    steps: int
    hangs_on_line: bool
    live: str = field(default="", metadata=_PAGE_ONLY)
