"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

import re

from ...record.decibels import decibels, ratio
from ...record.sections.results import Result
from ...report.typed import typed
from ..bench import Bench
from .findings import ComparedResult, ResultsFindings

_LOWER_IS_BETTER = re.compile(r"\b(?:hum|noise)\b", re.I)
_SAME = 0.01


def examine(bench: Bench) -> ResultsFindings | None:
    """The results; None where none was written."""
    record = bench.record
    if not record.results:
        return None
    results = tuple(_compared(str(name), result) for name, result in record.results.items())
    return ResultsFindings(results, sum(r.ratio is not None for r in results))


def _compared(name: str, result: Result) -> ComparedResult:
    found = ratio(result.before, result.after)
    units = {quantity.unit for quantity in (result.before, result.after, result.sheet) if quantity}
    direction = "" if found is None else "unchanged" if abs(found - 1) < _SAME else "higher" if found > 1 else "lower"
    better = direction == "lower" if _LOWER_IS_BETTER.search(name) and direction in ("higher", "lower") else None
    return ComparedResult(
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
