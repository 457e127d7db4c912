"""Results: what was measured before and after the work, and how far it moved."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.typed import Typed

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class ComparedResult:
    """One result. ``before``, ``after`` and ``sheet`` are in ``unit``; ``ratio`` is after over before.

    ``direction`` is ``higher``, ``lower`` or ``unchanged``, empty where it cannot be known; ``better`` is None where
    nothing says which way is better.
    """

    name: str
    before: float | None
    after: float | None
    sheet: float | None
    unit: str
    ratio: float | None
    change_db: float | None
    direction: str
    better: bool | None
    for_: str
    note: str
    before_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    sheet_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ResultsFindings:
    """Section ``results``."""

    results: tuple[ComparedResult, ...]
    compared: int
