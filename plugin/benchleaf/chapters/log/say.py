"""What it comes to, in sentences."""

from __future__ import annotations

from ...report.sentence import Sentence
from ..bench import Bench
from .findings import LogFindings


def standouts(findings: LogFindings, bench: Bench) -> list[Sentence]:
    """Nothing: a log is read, not judged."""
    return []
