"""What it comes to, in sentences."""

from __future__ import annotations

from ...record.decibels import say_decibels
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ..bench import Bench
from .findings import AlignmentFindings
from .page_said import AlignmentSaid, page_said
from .remarks_said import order_remarks
from .tracking_said import gang_standouts

_LOST_DB = -0.5
"""A change smaller than this is the meter's: half a decibel is 6 % of the volts. Common practice, no source."""


def standouts(findings: AlignmentFindings, bench: Bench) -> list[Sentence]:
    """Adjustments for maximum that made the signal smaller, steps that undo others, a gang or padder that is odd."""
    fell = [
        Sentence(
            Verdict.NOTE,
            f"Alignment at {step.frequency.text if step.frequency else step.wavelength}: "
            f"{'the generator had to rise' if step.for_output else 'the reading fell'} by "
            f"{say_decibels(-step.gain_db)} although it was adjusted for maximum.",
            "alignment",
        )
        for session in findings.sessions
        for step in session.steps
        if step.gain_db is not None
        and step.gain_db < _LOST_DB
        and (step.frequency or step.wavelength)
        and step.aim == "maximum"
    ]
    order = [
        Sentence(Verdict.NOTE, ("Alignment at ", *remark), "alignment")
        for session in findings.sessions
        for remark in order_remarks(session)
    ]
    return [*fell, *order, *gang_standouts(findings)]


def said(findings: AlignmentFindings, bench: Bench) -> AlignmentSaid:
    """The chapter's page."""
    return page_said(findings, bench)
