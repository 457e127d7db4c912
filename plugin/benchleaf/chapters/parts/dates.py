"""The days of the work on a part, in words."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from ...record.work_days import days_of
from ...report.sentence import listed, text_of

if TYPE_CHECKING:
    from ...record.sections.parts import Part


def days(part: Part) -> str:
    """``ordered 2026-02-23, fitted and checked 2026-03-01``; empty where no day is written."""
    said = []
    for day, labels in groupby(days_of(part), key=lambda entry: entry[1]):
        words = text_of(listed([(label,) for label, _ in labels], ", ", " and "))
        said.append(f"{words} {day.isoformat()}")
    return ", ".join(said)
