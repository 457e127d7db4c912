"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...report.anchors import part_anchor, tube_anchor, with_links
from ..bench import Bench
from .findings import FaultsFindings, RuledOut, Trail, TrailStep
from .named_places import anchors_of_places, readings_of
from .trail_evidence import evidence, read_values

if TYPE_CHECKING:
    from ..readings.findings import ReadingsFindings

_STEPS = ("complaint", "found", "cause", "cure")


def examine(
    bench: Bench, parts: object | None = None, readings: ReadingsFindings | None = None
) -> FaultsFindings | None:
    """The trails; None where no fault was written. Names become links where what they lead to is on a page."""
    record = bench.record
    if not record.faults:
        return None
    part_anchors = {str(name): part_anchor(name) for name in record.parts} if parts is not None else {}
    tube_anchors = {str(name): tube_anchor(name) for name in record.tubes}
    read = read_values(bench)
    trails = []
    for fault in record.faults:
        written = [(name, str(text)) for name in _STEPS if (text := getattr(fault, name))]
        not_it = [str(text) for text in fault.ruled_out]
        whole = " ; ".join((*(text for _, text in written), *not_it))
        anchors = {**tube_anchors, **anchors_of_places(whole, bench, readings), **part_anchors}
        steps = tuple(TrailStep(name, text, with_links(text, anchors)) for name, text in written)
        mentioned = with_links(" ; ".join(s.text for s in steps), {str(n): part_anchor(n) for n in record.parts})
        trails.append(
            Trail(
                steps=steps,
                parts=tuple(dict.fromkeys(piece.text for piece in mentioned if piece.anchor)),
                cured=bool(fault.cure),
                date=fault.date.isoformat() if fault.date else "",
                note=str(fault.note or ""),
                ruled_out=tuple(_ruled_out(text, anchors, bench) for text in not_it),
                readings=tuple(readings_of(whole, bench, readings)),
                evidence=tuple(evidence(bench, steps)),
                on_its_day=bool(record.log and fault.date and fault.cure),
                read=read,
            )
        )
    return FaultsFindings(tuple(trails), sum(not trail.cured for trail in trails))


def _ruled_out(text: str, anchors: Mapping[str, str], bench: Bench) -> RuledOut:
    """What was ruled out, with the parts and tubes that it names."""
    known = {str(name): "named" for name in (*bench.record.parts, *bench.record.tubes)}
    named = dict.fromkeys(piece.text for piece in with_links(text, known) if piece.anchor)
    return RuledOut(text, tuple(named), with_links(text, anchors))
