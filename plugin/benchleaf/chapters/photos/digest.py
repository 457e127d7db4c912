"""The chapter in short: its pictures stand on the record themselves."""

from __future__ import annotations

from ...report.digest import Digest
from ..bench import Bench
from .findings import PhotosFindings


def digest(findings: PhotosFindings, bench: Bench) -> Digest:
    """Nothing beside the pictures."""
    return Digest((f"{findings.pictures} picture{'' if findings.pictures == 1 else 's'}.",))
