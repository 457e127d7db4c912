"""The chapter's page in full: each result before and after, what the set itself allows, and the curves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...record.decibels import say_decibels
from ...report.amount import Origin
from ...report.prose import as_prose
from ...report.sentence import Judged, Note, Phrase, PhrasePart, listed
from ...report.source import FROM_MEMORY
from ...report.table import NUMBER, Cell, Column, Row, RowGroup, Table, cell
from ...report.typed import Typed
from ...report.verdict import Verdict
from ..bench import Bench
from .beside_said import beside_table, beside_working
from .curves_said import CurveSaid, curve_said, curves_working
from .findings import ComparedResult, ResultsFindings
from .times import times

_CHANGE = (
    "Change is 20 log (after ÷ before) for volts and amperes, 10 log for watts (ISO 80000-3), and the difference of "
    "two levels in decibels; other units have a ratio only. Lower is called better for hum, noise, distortion and the "
    "volts that a sensitivity asks for, higher for selectivity and the image ratio; for anything else the direction is "
    "said and not judged."
)


@dataclass(frozen=True, slots=True)
class ResultsSaid:
    """All that the page says. ``words`` are results that are a note and no value."""

    conclusion: Phrase
    table: Table | None
    words: tuple[tuple[str, Phrase], ...]
    beside: Table | None
    curves: tuple[CurveSaid, ...]
    working: tuple[Phrase, ...]


def page_said(findings: ResultsFindings, bench: Bench) -> ResultsSaid:
    """What the page says."""
    valued = [result for result in findings.results if not result.is_words]
    spoken = tuple((result.name, (Note(result.note),)) for result in findings.results if result.is_words)
    return ResultsSaid(
        conclusion(findings),
        _table(valued) if valued else None,
        spoken,
        beside_table(findings, bench),
        tuple(map(curve_said, findings.curves)),
        tuple(_working(findings, bench)),
    )


def conclusion(findings: ResultsFindings) -> Phrase:
    """How many results there are, and which of them are better or worse than before."""
    count = len(findings.results) + len(findings.curves)
    told = f"{count} result{'' if count == 1 else 's'}"
    if findings.compared:
        told += f", {findings.compared} of {'them' if count > 1 else 'it'} read before and after the work"
    said: Phrase = (f"{told}.",)
    for better, word in ((True, "Better than before"), (False, "Worse than before")):
        named = [(_changed(result),) for result in findings.results if result.better is better]
        said += (f" {word}: ", *listed(named, last=" and "), ".") if named else ()
    return said


def _changed(result: ComparedResult) -> str:
    """A result by name, with how far it moved."""
    name = result.name + (f", for {result.for_}," if result.for_ else "")
    return name + (f" by {say_decibels(abs(result.change_db))}" if result.change_db is not None else "")


def _working(findings: ResultsFindings, bench: Bench) -> Iterator[Phrase]:
    if any(result.direction for result in findings.results):
        yield (_CHANGE,)
    if any(result.subject == "sensitivity" for result in findings.results):
        yield ("A sensitivity is the signal that gives a stated output, 50 mW for a small set or 500 mW for a large "
               "one, with 30 % of modulation at 400 Hz where nothing else is written (", FROM_MEMORY, ").")  # fmt: skip
    yield from beside_working(findings, bench)
    yield from curves_working(findings)


def _table(results: list[ComparedResult]) -> Table:
    sheet = any(result.sheet_typed for result in results)
    noted = any(conditions(result) for result in results)
    columns = [
        Column("What"),
        Column("Before", NUMBER, Origin.MEASURED),
        Column("After", NUMBER, Origin.MEASURED),
        *([Column("Sheet", NUMBER, Origin.PUBLISHED)] if sheet else []),
        Column("After ÷ before", NUMBER, Origin.COMPUTED),
        Column("Change", NUMBER, Origin.COMPUTED),
        Column("Verdict"),
        *([Column("For, note")] if noted else []),
    ]
    rows = tuple(_row(result, sheet=sheet, noted=noted) for result in results)
    return Table("Results", "Measured before and after the work", tuple(columns), (RowGroup(rows),))


def _row(result: ComparedResult, *, sheet: bool, noted: bool) -> Row:
    cells = [_typed(result.before_typed), _typed(result.after_typed)]
    cells += [_typed(result.sheet_typed)] if sheet else []
    cells += [cell(times(result.ratio)) if result.ratio is not None else cell()]
    cells += [cell(say_decibels(result.change_db, signed=True)) if result.change_db is not None else cell()]
    cells += [cell(_verdict(result))]
    cells += [Cell(tuple(conditions(result)))] if noted else []
    return Row(cell(result.name), tuple(cells))


def _verdict(result: ComparedResult) -> Judged | str:
    if result.better is None:
        return result.direction or "not compared"
    which = "better" if result.better else "worse"
    return Judged(Verdict.GOOD if result.better else Verdict.WATCH, (f"{result.direction}, which is {which}",))


def conditions(result: ComparedResult, *, with_for: bool = True) -> list[Phrase]:
    """What it was measured for, into and at, how, and the note."""
    said: list[Phrase] = []
    first: list[PhrasePart] = []
    load: Phrase = result.load_typed.as_read(Origin.STATED) if result.load_typed else ()
    goal = as_prose(result.for_) if with_for else ()
    for head, words in (("for ", goal), ("into ", load), ("at ", as_prose(result.at))):
        if words:
            first += [", " if first else "", head, *words]
    if first:
        said.append(tuple(first))
    if result.standard:
        said.append(as_prose(result.standard))
    if result.note:
        said.append((Note(result.note),))
    return said


def _typed(value: Typed | None) -> Cell:
    return cell(*value.with_its_reading()) if value else cell()
