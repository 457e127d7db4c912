"""A sentence on what was found by inspection."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Check:
    """A sentence on what was found, with how much it matters (``findings.DANGER``, ``FAULT`` or ``NOTE``)."""

    severity: int
    text: str
