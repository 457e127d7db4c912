"""The work log: sittings, and the hours they come to."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...anchors import Piece, part_anchor, tube_anchor, with_links
from ...bench import Bench
from ...findings import Standout
from ...record.model import Record
from ...typed import Typed, typed

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class Sitting:
    """One line of the log."""

    date: str
    seconds: float | None
    by: str
    did: str
    time: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    pieces: tuple[Piece, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class LogFindings:
    """Section ``log``. ``total_seconds`` sums what was written; ``without_time`` counts the lines that say no time."""

    sittings: tuple[Sitting, ...]
    total_seconds: float
    without_time: int
    first: str
    last: str


def examine(record: Record, bench: Bench) -> LogFindings | None:
    """The log; None where none was written."""
    if not record.log:
        return None
    anchors = {str(n): tube_anchor(n) for n in record.tubes} | {str(n): part_anchor(n) for n in record.parts}
    sittings = tuple(
        Sitting(
            date=entry.date.isoformat() if entry.date else "",
            seconds=entry.time.si if entry.time else None,
            by=str(entry.by or ""),
            did=str(entry.did or ""),
            time=typed(entry.time),
            pieces=with_links(str(entry.did or ""), anchors),
        )
        for entry in record.log
    )
    days = sorted(s.date for s in sittings if s.date)
    return LogFindings(
        sittings=sittings,
        total_seconds=sum(s.seconds or 0.0 for s in sittings),
        without_time=sum(s.seconds is None for s in sittings),
        first=days[0] if days else "",
        last=days[-1] if days else "",
    )


def standouts(findings: LogFindings, bench: Bench) -> list[Standout]:
    """Nothing: a log is read, not judged."""
    return []
