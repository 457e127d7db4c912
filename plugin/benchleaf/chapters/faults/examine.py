"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from ...report.anchors import part_anchor, tube_anchor, with_links
from ..bench import Bench
from .evidence import evidence, read_values
from .findings import FaultsFindings, Trail, TrailStep

_STEPS = ("complaint", "found", "cause", "cure")


def examine(bench: Bench, parts: object | None = None) -> FaultsFindings | None:
    """The trails; None where no fault was written. PhrasePart names become links where there is a list of parts."""
    record = bench.record
    if not record.faults:
        return None
    part_anchors = {str(name): part_anchor(name) for name in record.parts} if parts is not None else {}
    tube_anchors = {str(name): tube_anchor(name) for name in record.tubes}
    read = read_values(bench)
    trails = []
    for fault in record.faults:
        written = ((name, getattr(fault, name)) for name in _STEPS)
        steps = tuple(
            TrailStep(name, str(text), with_links(str(text), {**tube_anchors, **part_anchors}))
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
                evidence=tuple(evidence(bench, steps)),
                on_its_day=bool(record.log and fault.date),
                read=read,
            )
        )
    return FaultsFindings(tuple(trails), sum(not trail.cured for trail in trails))
