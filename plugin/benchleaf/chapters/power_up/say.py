"""What it comes to, in sentences."""

from __future__ import annotations

from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words.decimal_sign import with_decimal_sign
from ..bench import Bench
from .findings import PowerUpFindings


def standouts(findings: PowerUpFindings, bench: Bench) -> list[Sentence]:
    """A capacitor that drew more at the end of its reforming than at the start."""
    return [
        Sentence(
            Verdict.WATCH,
            f"{part.part} drew {with_decimal_sign(f'{part.of_first:.2g}')} times as much at the end of "
            "reforming as at its start: it is failing, not forming.",
            "power-up-reforming",
        )
        for part in findings.reforming
        if part.of_first is not None and part.of_first > 1
    ]
