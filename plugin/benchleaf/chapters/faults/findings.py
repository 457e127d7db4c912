"""Faults: the trail from complaint to cure, with the parts and tubes it names found in the record."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.anchors import LinkedText

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class TrailStep:
    """One step of a trail; ``linked`` is its text with the names that can be linked."""

    name: str
    text: str
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Trail:
    """One fault. ``parts`` are the parts its text names; ``cured`` says whether a cure was written."""

    steps: tuple[TrailStep, ...]
    parts: tuple[str, ...]
    cured: bool
    date: str
    note: str


@dataclass(frozen=True, slots=True)
class FaultsFindings:
    """All faults in the order written."""

    trails: tuple[Trail, ...]
    open: int
