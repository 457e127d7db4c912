"""What the chapter says: the sentences for the top of the page, and its page, statement by statement."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...report.sentence import Phrase, Sentence
from ...report.verdict import Verdict
from . import consequences, marking_tables, part_tables
from .figures import log_name
from .method import method
from .progress_said import progress_in_words
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
    verdict = Verdict.OPEN if progress.open else Verdict.UNKNOWN if progress.looked_at else Verdict.GOOD
    return Sentence(verdict, progress_in_words(progress))


def _unchecked(progress: Progress) -> Phrase:
    names = ", ".join(progress.unchecked)
    return (f"New capacitors with no day under “checked”: {names}.",) if names else ()
