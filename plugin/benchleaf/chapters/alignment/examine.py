"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...record.decibels import decibels
from ...record.sections.alignment import Alignment, AlignmentStep
from ...record.wavelengths import hertz_of
from ...report.anchors import part_anchor, tube_anchor, with_links
from ...report.typed import typed
from ..bench import Bench
from .band_tracking import tracking_of
from .feeds import aerial_feed, has_loop, has_loop_only
from .findings import AdjustedStep, AlignmentFindings, AlignmentSession
from .stage_gains import stage_gains
from .step_kinds import band_of, out_of_order, sets
from .swept_curves import detector_curve, swept_response

if TYPE_CHECKING:
    from ..readings.findings import ReadingsFindings


def examine(bench: Bench, readings: ReadingsFindings | None = None) -> AlignmentFindings | None:
    """The alignments, and what the dial and the gang come to; None where no alignment, IF and band were written."""
    record = bench.record
    tracking = tracking_of(bench)
    if not record.alignment and not tracking:
        return None
    anchors = {str(n): tube_anchor(n) for n in record.tubes} | {str(n): part_anchor(n) for n in record.parts}
    sessions = tuple(_session(alignment, anchors, bench, readings) for alignment in record.alignment)
    grounding = bench.circuit.grounding
    steps = sum(len(s.steps) for s in sessions)
    return AlignmentFindings(
        sessions,
        steps,
        grounding.chassis_on_line,
        tracking,
        record.gang is not None,
        grounding.live,
        has_loop(record),
        has_loop_only(record),
    )


def _session(
    alignment: Alignment, anchors: Mapping[str, str], bench: Bench, readings: ReadingsFindings | None
) -> AlignmentSession:
    steps = tuple(_step(step, alignment, anchors, bench) for step in alignment.steps)
    return AlignmentSession(
        date=alignment.date.isoformat() if alignment.date else "",
        generator=str(alignment.generator or ""),
        meter=str(alignment.meter or ""),
        steps=steps,
        note=str(alignment.note or ""),
        response=swept_response(alignment.response, bench.record),
        response_before=swept_response(alignment.response_before, bench.record),
        s_curve=detector_curve(alignment.s_curve),
        gains=stage_gains(alignment, bench, readings),
        out_of_order=tuple(out_of_order(steps)),
    )


def _step(step: AlignmentStep, alignment: Alignment, anchors: Mapping[str, str], bench: Bench) -> AdjustedStep:
    before, after = step.before, step.after
    units = {quantity.unit for quantity in (before, after) if quantity}
    hertz = hertz_of(step.frequency, step.wavelength)
    adjust = str(step.adjust or "")
    # A generator's level for one output: the less it takes, the more the set gains.
    first, last = (after, before) if step.for_ else (before, after)
    what = sets(adjust, hertz, bench.record)
    lead = str(step.through or "") or ("" if step.into or step.generator else str(alignment.generator or ""))
    return AdjustedStep(
        frequency_hertz=hertz,
        wavelength_metres=step.wavelength.si if step.wavelength else None,
        adjust=adjust,
        before=before.si if before else None,
        after=after.si if after else None,
        unit=units.pop() if len(units) == 1 else "",
        gain_db=None if what.aim == "zero" else decibels(first, last),
        note=str(step.note or ""),
        sets=what.what,
        fm=what.fm,
        aim=what.aim,
        band=band_of(hertz, bench.record) if what.what in ("oscillator", "aerial", "") else "",
        generator=str(step.generator or ""),
        into=str(step.into or ""),
        through=str(step.through or ""),
        meter=str(step.meter or ""),
        for_output=str(step.for_ or ""),
        feed=aerial_feed(lead, hertz) if what.what == "aerial" and not what.fm else None,
        frequency=typed(step.frequency),
        wavelength=step.wavelength.written if step.wavelength else "",
        before_typed=typed(before),
        after_typed=typed(after),
        found_at=typed(step.found_at),
        dial_read=typed(step.dial_read),
        dial_now=typed(step.dial_now),
        linked=with_links(adjust, anchors),
    )
