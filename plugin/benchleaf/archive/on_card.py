"""What the archive keeps of each set, as plain data, so that its pages need no record to be read again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from . import chassis_volts, failed_parts, part_counts, wanted_parts

if TYPE_CHECKING:
    from ..chapters.examine import Examined

_MOST_OPEN = 3
"""Open findings kept of one set; its own page has them all."""


def for_card(examined: Examined, title: str) -> dict[str, Any]:
    """What is kept with a set's card besides what its own page says of it."""
    record = examined.record
    still = [s for s in examined.standouts() if s.verdict.is_open]
    still.sort(key=lambda s: -s.verdict.rank)
    read = chassis_volts.chassis_volts(examined)
    return {
        "by": str(record.by or ""),
        "member": str(record.member or ""),
        "called": str(record.called or ""),
        "chassis_number": str(record.chassis_number or ""),
        "made": str(record.year or ""),
        "finished": record.finished.isoformat() if record.finished else "",
        "faults": [[str(step or "") for step in (f.complaint, f.cause or f.found, f.cure)] for f in record.faults],
        "still_open": [[s.verdict.rank, s.text] for s in still[:_MOST_OPEN]],
        "open_count": len(still),
        "failed": [failed_parts.as_dict(one) for one in failed_parts.failed(examined)],
        "ruled_out": [failed_parts.as_dict(one) for one in failed_parts.ruled_out(examined)],
        "wanted": [wanted_parts.as_dict(one) for one in wanted_parts.wanted(examined, title, str(record.member or ""))],
        "chassis_volts": chassis_volts.as_dict(read) if read else None,
        "looked_at": [part_counts.as_dict(one) for one in part_counts.looked_at(examined)],
    }
