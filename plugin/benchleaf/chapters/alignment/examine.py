"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Mapping

from ...record.decibels import decibels
from ...record.model import SPEED_OF_LIGHT
from ...record.sections.alignment import AlignmentStep
from ...report.anchors import part_anchor, tube_anchor, with_links
from ...report.typed import typed
from ..bench import Bench
from .band_tracking import tracking_of
from .findings import AdjustedStep, AlignmentFindings, AlignmentSession


def examine(bench: Bench) -> AlignmentFindings | None:
    """The alignments, and what the dial and the gang come to; None where no alignment, IF and band were written."""
    record = bench.record
    tracking = tracking_of(bench)
    if not record.alignment and not tracking:
        return None
    anchors = {str(n): tube_anchor(n) for n in record.tubes} | {str(n): part_anchor(n) for n in record.parts}
    sessions = tuple(
        AlignmentSession(
            date=alignment.date.isoformat() if alignment.date else "",
            generator=str(alignment.generator or ""),
            meter=str(alignment.meter or ""),
            steps=tuple(_step(step, anchors) for step in alignment.steps),
            note=str(alignment.note or ""),
        )
        for alignment in record.alignment
    )
    grounding = bench.circuit.grounding
    steps = sum(len(s.steps) for s in sessions)
    return AlignmentFindings(
        sessions, steps, grounding.chassis_on_line, tracking, record.gang is not None, grounding.live
    )


def _step(step: AlignmentStep, anchors: Mapping[str, str]) -> AdjustedStep:
    before, after = step.before, step.after
    units = {quantity.unit for quantity in (before, after) if quantity}
    metres = step.wavelength.si if step.wavelength else None
    hertz = step.frequency.si if step.frequency else SPEED_OF_LIGHT / metres if metres else None
    return AdjustedStep(
        frequency_hertz=hertz,
        wavelength_metres=metres,
        adjust=str(step.adjust or ""),
        before=before.si if before else None,
        after=after.si if after else None,
        unit=units.pop() if len(units) == 1 else "",
        gain_db=decibels(before, after),
        note=str(step.note or ""),
        frequency=typed(step.frequency),
        wavelength=step.wavelength.written if step.wavelength else "",
        before_typed=typed(before),
        after_typed=typed(after),
        linked=with_links(str(step.adjust or ""), anchors),
    )
