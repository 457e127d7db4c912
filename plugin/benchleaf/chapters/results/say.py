"""What it comes to, in sentences."""

from __future__ import annotations

from ...report.amount import Amount
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ..bench import Bench
from .all_said import ResultsSaid, page_said
from .beside_said import over_limit
from .findings import ResultsFindings


def standouts(findings: ResultsFindings, bench: Bench) -> list[Sentence]:
    """What is worse after the work than before, and an output power beyond what its stage can give."""
    worse = [
        Sentence(
            Verdict.NOTE,
            f"{result.name[:1].upper()}{result.name[1:]} is {result.direction} after the work than before: "
            f"{result.before_typed.printed}, then {result.after_typed.printed}.",
            "results",
        )
        for result in findings.results
        if result.better is False and result.before_typed and result.after_typed
    ]
    over, stage = over_limit(findings), findings.output_stage
    if over is None or stage is None:
        return worse
    measured, most = Amount(over.measured, "W", digits=2).text, Amount(over.worked_out, "W", digits=2).text
    name = over.name[:1].upper() + over.name[1:]
    told = f"{name}: {measured}, more than the {most} that {stage.tube} can give as a sine."
    return [*worse, Sentence(Verdict.NOTE, f"{told} A reading, the load or the waveform is another.", "results")]


def said(findings: ResultsFindings, bench: Bench) -> ResultsSaid:
    """The chapter's page."""
    return page_said(findings, bench)
