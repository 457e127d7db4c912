"""What it comes to, in sentences."""

from __future__ import annotations

from ...report.sentence import Sentence
from ..bench import Bench
from .findings import PhotosFindings


def standouts(findings: PhotosFindings, bench: Bench) -> list[Sentence]:
    """Nothing: pictures are looked at."""
    return []
