"""Results: what was measured before and after the work, and how far it moved."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from ...bench import Bench
from ...comparison import decibels, ratio
from ...findings import NOTE, Standout
from ...record.model import Record
from ...typed import Typed, typed
from .model import Result

_PAGE_ONLY: dict[str, Any] = {"json": False}
_LOWER_IS_BETTER = re.compile(r"\b(?:hum|noise)\b", re.I)
_SAME = 0.01


@dataclass(frozen=True, slots=True)
class Compared:
    """One result. ``before``, ``after`` and ``sheet`` are in ``unit``; ``ratio`` is after over before.

    ``direction`` is ``higher``, ``lower`` or ``unchanged``, empty where it cannot be known; ``better`` is None where
    nothing says which way is better.
    """

    name: str
    before: float | None
    after: float | None
    sheet: float | None
    unit: str
    ratio: float | None
    change_db: float | None
    direction: str
    better: bool | None
    for_: str
    note: str
    before_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    sheet_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ResultsFindings:
    """Section ``results``."""

    results: tuple[Compared, ...]
    compared: int


def examine(record: Record, bench: Bench) -> ResultsFindings | None:
    """The results; None where none was written."""
    if not record.results:
        return None
    results = tuple(_compared(str(name), result) for name, result in record.results.items())
    return ResultsFindings(results, sum(r.ratio is not None for r in results))


def _compared(name: str, result: Result) -> Compared:
    found = ratio(result.before, result.after)
    units = {quantity.unit for quantity in (result.before, result.after, result.sheet) if quantity}
    direction = "" if found is None else "unchanged" if abs(found - 1) < _SAME else "higher" if found > 1 else "lower"
    better = direction == "lower" if _LOWER_IS_BETTER.search(name) and direction in ("higher", "lower") else None
    return Compared(
        name=name,
        before=result.before.si if result.before else None,
        after=result.after.si if result.after else None,
        sheet=result.sheet.si if result.sheet else None,
        unit=units.pop() if len(units) == 1 else "",
        ratio=found,
        change_db=decibels(result.before, result.after),
        direction=direction,
        better=better,
        for_=str(result.for_ or ""),
        note=str(result.note or ""),
        before_typed=typed(result.before),
        after_typed=typed(result.after),
        sheet_typed=typed(result.sheet),
    )


def standouts(findings: ResultsFindings, bench: Bench) -> list[Standout]:
    """Hum or noise that is worse after the work than before."""
    return [
        Standout(
            NOTE,
            f"{result.name[:1].upper()}{result.name[1:]} is higher after the work than before: "
            f"{result.before_typed.text}, then {result.after_typed.text}.",
            "results",
        )
        for result in findings.results
        if result.better is False and result.before_typed and result.after_typed
    ]
