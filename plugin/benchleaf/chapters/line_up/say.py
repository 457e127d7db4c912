"""What it comes to, in sentences."""

from __future__ import annotations

from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ..bench import Bench
from .findings import LineUpFindings


def standouts(findings: LineUpFindings, bench: Bench) -> list[Sentence]:
    """Types the table does not know, and exchanges that changed more than the tube."""
    found = [
        Sentence(
            Verdict.NOTE,
            f"{place.tube} is a {place.type}, which the table of {bench.words.tubes} does not know: "
            + (
                "the record’s own data are used."
                if place.from_record
                else "nothing that needs its ratings is computed."
            ),
            place.anchor,
        )
        for place in findings.tubes
        if not place.known
    ]
    found += [
        Sentence(Verdict.NOTE, f"{exchange.tube}: {remark}.", "tubes-changed")
        for exchange in findings.changed
        for remark in exchange.remarks
    ]
    return found
