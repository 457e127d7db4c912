"""What the chapter says: the sentences for the top of the page, and its page, statement by statement."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...report.sentence import Phrase, Sentence
from ...report.verdict import Verdict
from . import consequences, marking_tables, part_tables
from .figures import log_name
from .method import method
from .standing_out import standouts

if TYPE_CHECKING:
    from ...report.table import Table
    from ..bench import Bench
    from .findings import PartsFindings, Progress

__all__ = ["Said", "said", "standouts"]


@dataclass(frozen=True)
class Said:
    """All statements of the chapter's page, in its order; None or empty where there is nothing to say."""

    conclusion: Sentence
    found: Table
    leaking: Table | None
    new_values: Table | None
    heating: Table | None
    reforming: tuple[Phrase, ...]
    reforming_logs: tuple[str, ...]
    waiting: tuple[Phrase, ...]
    unchecked: Phrase
    markings_read: Table | None
    markings_worn: Table | None
    method: tuple[Phrase, ...]


def said(findings: PartsFindings, bench: Bench) -> Said:
    """The chapter's page in the dialect of the site."""
    return Said(
        conclusion=_conclusion(findings.progress),
        found=part_tables.found_and_fitted(findings, bench),
        leaking=part_tables.leaking(findings, bench.words),
        new_values=consequences.new_values(findings, bench.words),
        heating=consequences.heating(findings),
        reforming=consequences.reform_or_replace(findings),
        reforming_logs=tuple(log_name(found.anchor) for found in findings.reforming()),
        waiting=consequences.still_to_do(findings),
        unchecked=_unchecked(findings.progress),
        markings_read=marking_tables.read(findings),
        markings_worn=marking_tables.worn(findings),
        method=method(findings, bench),
    )


def _conclusion(progress: Progress) -> Sentence:
    parts = "part" if progress.total == 1 else "parts"
    states = ", ".join(f"{count} {state}" for state, count in progress.by_state)
    waits = ""
    if progress.open:
        waits = f" {progress.open} still {'waits' if progress.open == 1 else 'wait'}."
    elif not progress.looked_at:
        waits = " None waits."
    verdict = Verdict.OPEN if progress.open else Verdict.GOOD if waits else Verdict.UNKNOWN
    return Sentence(verdict, f"{progress.total} {parts} in the record: {states}.{waits}")


def _unchecked(progress: Progress) -> Phrase:
    names = ", ".join(progress.unchecked)
    return (f"New capacitors with no day under “checked”: {names}.",) if names else ()
