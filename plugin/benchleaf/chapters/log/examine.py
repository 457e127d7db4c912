"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from ...report.anchors import part_anchor, tube_anchor, with_links
from ...report.typed import typed
from ..bench import Bench
from .findings import LogFindings, Sitting


def examine(bench: Bench) -> LogFindings | None:
    """The log; None where none was written."""
    record = bench.record
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
            linked=with_links(str(entry.did or ""), anchors),
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
