"""What it comes to, in sentences."""

from __future__ import annotations

from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ..bench import Bench
from .findings import ResultsFindings


def standouts(findings: ResultsFindings, bench: Bench) -> list[Sentence]:
    """Hum or noise that is worse after the work than before."""
    return [
        Sentence(
            Verdict.NOTE,
            f"{result.name[:1].upper()}{result.name[1:]} is higher after the work than before: "
            f"{result.before_typed.text}, then {result.after_typed.text}.",
            "results",
        )
        for result in findings.results
        if result.better is False and result.before_typed and result.after_typed
    ]
