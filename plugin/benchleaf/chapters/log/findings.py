"""The work log: sittings, and the hours they come to."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.anchors import LinkedText
from ...report.typed import Typed

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class Sitting:
    """One line of the log."""

    date: str
    seconds: float | None
    by: str
    did: str
    time: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class LogFindings:
    """Section ``log``. ``total_seconds`` sums what was written; ``without_time`` counts the lines that say no time."""

    sittings: tuple[Sitting, ...]
    total_seconds: float
    without_time: int
    first: str
    last: str
