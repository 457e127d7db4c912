"""A sentence on what was found by inspection."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...report.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Check:
    """A sentence on what was found, with its verdict; ``severity`` is the verdict's as a number."""

    severity: int = field(init=False)
    verdict: Verdict = field(metadata={"json": False})
    text: str

    def __post_init__(self) -> None:
        object.__setattr__(self, "severity", self.verdict.severity)
