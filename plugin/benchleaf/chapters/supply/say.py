"""The sentences about the supply that deserve the top of the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import SupplyFindings


def standouts(findings: SupplyFindings, bench: Bench) -> list[Sentence]:
    """A rectifier beyond its peak current, and a reservoir that is too large for it."""
    found = []
    worst = max(findings.working, key=lambda w: w.peak_amps, default=None)
    if worst is not None and worst.over_peak and findings.agrees is not False and findings.peak_limit_amps is not None:
        found.append(
            Sentence(
                Verdict.FAULT if findings.peak_limit_published else Verdict.WATCH,
                f"{findings.rectifier} carries peaks of {say(worst.peak_amps, 'A')} at {say(worst.line_volts, 'V')}"
                f" {bench.words.line}; its limit is {say(findings.peak_limit_amps, 'A')}",
                "rectifier-and-filter",
            )
        )
    if findings.reservoir_too_large and worst is not None:
        rail = worst.rails[0]
        found.append(
            Sentence(
                Verdict.NOTE,
                f"{rail.part} of {say(rail.farads, 'F')} is a larger reservoir than {findings.rectifier} is given for"
                f" ({say(findings.reservoir_limit_farads, 'F')}), by more than the"
                f" {say(findings.reservoir_allowed_share, '1')} allowed here",
                "rectifier-and-filter",
            )
        )
    return found
