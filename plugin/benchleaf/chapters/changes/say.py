"""What it comes to, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.decibels import say_decibels
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from .findings import ChangesFindings

if TYPE_CHECKING:
    from ..bench import Bench


def standouts(findings: ChangesFindings, bench: Bench) -> list[Sentence]:
    """Additions that gain next to nothing at the set's own frequencies."""
    return [
        Sentence(
            Verdict.NOTE,
            f"{change.name} across {change.across} gains {say_decibels(max(change.most_gain_decibels, 0))} at the most"
            " at this set’s frequencies.",
            change.anchor,
        )
        for change in findings.changes
        if change.gains_little and change.most_gain_decibels is not None
    ]
