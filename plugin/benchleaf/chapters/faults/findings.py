"""Faults: the trail from complaint to cure, with the parts and tubes it names found in the record."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...anchors import Piece, part_anchor, tube_anchor, with_links
from ...bench import Bench
from ...findings import Standout
from ...record.model import Record

_PAGE_ONLY: dict[str, Any] = {"json": False}
_STEPS = ("complaint", "found", "cause", "cure")


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a trail; ``pieces`` is its text with the names that can be linked."""

    name: str
    text: str
    pieces: tuple[Piece, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Trail:
    """One fault. ``parts`` are the parts its text names; ``cured`` says whether a cure was written."""

    steps: tuple[Step, ...]
    parts: tuple[str, ...]
    cured: bool
    date: str
    note: str


@dataclass(frozen=True, slots=True)
class FaultsFindings:
    """All faults in the order written."""

    trails: tuple[Trail, ...]
    open: int


def examine(record: Record, bench: Bench, parts: object | None = None) -> FaultsFindings | None:
    """The trails; None where no fault was written. Part names become links where there is a list of parts."""
    if not record.faults:
        return None
    part_anchors = {str(name): part_anchor(name) for name in record.parts} if parts is not None else {}
    tube_anchors = {str(name): tube_anchor(name) for name in record.tubes}
    trails = []
    for fault in record.faults:
        written = ((name, getattr(fault, name)) for name in _STEPS)
        steps = tuple(
            Step(name, str(text), with_links(str(text), {**tube_anchors, **part_anchors}))
            for name, text in written
            if text
        )
        mentioned = with_links(" ; ".join(s.text for s in steps), {str(n): part_anchor(n) for n in record.parts})
        trails.append(
            Trail(
                steps=steps,
                parts=tuple(dict.fromkeys(piece.text for piece in mentioned if piece.anchor)),
                cured=bool(fault.cure),
                date=fault.date.isoformat() if fault.date else "",
                note=str(fault.note or ""),
            )
        )
    return FaultsFindings(tuple(trails), sum(not trail.cured for trail in trails))


def standouts(findings: FaultsFindings, bench: Bench) -> list[Standout]:
    """Nothing: what was found and cured is told in its own place."""
    return []
