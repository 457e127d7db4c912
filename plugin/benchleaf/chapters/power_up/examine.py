"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from ...record.model import Record
from ...record.quantities import Quantity
from ...record.sections.power_up import PowerUp, Reforming
from ...report.anchors import part_anchor, with_links
from ...report.typed import typed
from ..bench import Bench
from .findings import PowerUpFindings, RaisedLine, RaisedStep, ReformedPart, ReformingStep


def examine(bench: Bench) -> PowerUpFindings | None:
    """Sessions and reforming; None where neither was written."""
    record = bench.record
    if not record.power_up and not record.reforming:
        return None
    return PowerUpFindings(
        sessions=tuple(_session(session) for session in record.power_up),
        reforming=tuple(_reformed(str(name), part, record) for name, part in record.reforming.items()),
        hangs_on_line=bench.circuit.grounding.chassis_on_line,
        live=bench.circuit.grounding.live,
    )


def si(quantity: Quantity | None) -> float | None:
    """A quantity's value in SI, None where there is none."""
    return quantity.si if quantity else None


def _session(session: PowerUp) -> RaisedLine:
    steps = tuple(
        RaisedStep(
            line_volts=si(step.line),
            line_amps=si(step.amps),
            after_seconds=si(step.after),
            read=str(step.read or ""),
            note=str(step.note or ""),
            line=typed(step.line),
            amps=typed(step.amps),
            after=typed(step.after),
        )
        for step in session.steps
    )
    return RaisedLine(
        date=session.date.isoformat() if session.date else "",
        using=str(session.with_ or ""),
        steps=steps,
        highest_line_volts=max((s.line_volts for s in steps if s.line_volts is not None), default=None),
        note=str(session.note or ""),
    )


def _reformed(name: str, part: Reforming, record: Record) -> ReformedPart:
    steps = tuple(
        ReformingStep(
            after_seconds=si(entry.after),
            amps=si(entry.current),
            at_volts=si(entry.at),
            note=str(entry.note or ""),
            after=typed(entry.after),
            current=typed(entry.current),
            at=typed(entry.at),
        )
        for entry in part.log
    )
    currents = [step.amps for step in steps if step.amps is not None]
    return ReformedPart(
        part=name,
        to=str(part.to or ""),
        date=part.date.isoformat() if part.date else "",
        steps=steps,
        of_first=currents[-1] / currents[0] if len(currents) > 1 and currents[0] > 0 else None,
        note=str(part.note or ""),
        linked=with_links(name, {str(n): part_anchor(n) for n in record.parts}),
    )
