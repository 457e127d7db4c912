"""The page of a chapter that needs no template of its own: its conclusion, its tables, and how they were worked out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .sentence import Phrase, Sentence
    from .table import Table


@dataclass(frozen=True, slots=True)
class PlainPage:
    """What such a chapter's ``said`` returns. ``working`` has a line a formula, with its source; ``note`` is typed."""

    conclusion: Sentence
    tables: tuple[Table, ...] = ()
    note: str = ""
    working: tuple[Phrase, ...] = ()
