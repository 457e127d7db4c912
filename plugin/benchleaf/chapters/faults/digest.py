"""The chapter in short: a line a fault at the top of the record, and a table where a line cannot hold all."""

from __future__ import annotations

from ...record.progress import FINISHED
from ...report.digest import MOST_LINES, Brief, Digest, remaining
from ...report.prose import prose
from ...report.sentence import Judged, Note, Phrase, Sentence, Styled
from ...report.table import Cell, Column, Row, RowGroup, Table
from ...report.verdict import Verdict
from ..bench import Bench
from .findings import FaultsFindings, Trail
from .say import line, standouts

_COUNTED = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def digest(findings: FaultsFindings, bench: Bench) -> Digest:
    """Each fault in one line, and a table of those that stand in no such line whole.

    The first lines stand at the top of the record of a finished set.
    """
    lines = [line(trail) for trail in findings.trails]
    whole = all(one.whole for one in lines)
    alone = len(lines) == 1 and lines[0].whole
    told = zip(findings.trails, lines, range(len(lines)), strict=True)
    left = findings.trails
    if str(bench.record.state or "") == FINISHED:
        left = tuple(trail for trail, one, place in told if place >= MOST_LINES or not one.whole) or left
    return Digest(
        lines[0].phrase if alone else _conclusion(findings, len(left)),
        table=None if alone else _table(left),
        working=_working(findings),
        told_above=whole,
        brief=Brief(
            wrong=tuple(Sentence(Verdict.PLAIN, one.phrase) for one in lines if one.phrase),
            remains=remaining(tuple(standouts(findings, bench))),
        ),
    )


def _conclusion(findings: FaultsFindings, shown: int) -> Phrase:
    count = len(findings.trails)
    counted = _counted(count)
    without = f"; {findings.open} without a cure in the record yet" if findings.open else ""
    if not findings.open and all(trail.step("cause") for trail in findings.trails):
        without = f", {'each ' if count > 1 else ''}traced to its cause and put right"
    above = f"; {_counted(count - shown)} told at the top of the page, {_counted(shown)} here" if shown < count else ""
    return (f"{counted.capitalize()} fault{'' if count == 1 else 's'}{without}{above}.",)


def _counted(count: int) -> str:
    return _COUNTED[count] if count < len(_COUNTED) else str(count)


def _working(findings: FaultsFindings) -> str:
    """What its own page holds beside this; it is there for every fault, so that who looks for one finds a page."""
    ruled_out = "what was ruled out" if any(trail.ruled_out for trail in findings.trails) else ""
    read = "readings" if any(trail.readings for trail in findings.trails) else ""
    held = " and ".join(filter(None, (ruled_out, read)))
    return f"Step by step, with {held}" if held else "Step by step"


def _table(trails: tuple[Trail, ...]) -> Table:
    dated = any(trail.date for trail in trails)
    noted = any(trail.note for trail in trails)
    headings = ["Complaint", "Found", "Cause", "Cure", *(["Date"] if dated else []), *(["Note"] if noted else [])]
    rows = tuple(_row(trail, dated=dated, noted=noted) for trail in trails)
    return Table("Faults", "From complaint to cure", tuple(map(Column, headings)), (RowGroup(rows),))


def _row(trail: Trail, *, dated: bool, noted: bool) -> Row:
    cells = [_cell(trail, "found"), _cause(trail)]
    cells.append(_cell(trail, "cure") if trail.cured else Cell(((Judged(Verdict.OPEN, ("not written yet",)),),)))
    cells += [Cell(((Styled((trail.date,), "number"),),) if trail.date else ())] if dated else []
    cells += [Cell(((Note(trail.note),),) if trail.note else ())] if noted else []
    return Row(_cell(trail, "complaint"), tuple(cells))


def _cell(trail: Trail, name: str) -> Cell:
    step = trail.step(name)
    return Cell((prose(step.linked, read=trail.read),)) if step else Cell()


def _cause(trail: Trail) -> Cell:
    """The cause, and below it what was not."""
    cause = _cell(trail, "cause").lines
    return Cell((*cause, *(("not ", *prose(one.linked, read=trail.read)) for one in trail.ruled_out)))
