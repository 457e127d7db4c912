"""What is said of markings: every way to read one that was found, and what new parts of the wanted values wear."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...circuit.pieces import Tolerance
from ...report.amount import Amount
from ...report.sentence import Drawing, Link, Phrase, aside
from ...report.table import Cell, Column, Row, RowGroup, Table, cell
from . import verdicts

if TYPE_CHECKING:
    from ...electrics.markings import MarkedValue
    from .findings import PartsFindings, ReadMarking, WornMarking

_DRAWN = (("", "bands"), ("-old", "the same value body, end, dot"), ("-jan", "JAN dots"), ("-rma", "RMA dots"))
"""How the names of a value's figures end, and what each shows."""


def read(findings: PartsFindings) -> Table | None:
    """What is marked on parts and every way it can be read; None where nothing is."""
    rows = tuple(_read(marking) for marking in findings.markings[0])
    columns = (Column("Part"), Column("Marked"), Column("Can be read as"))
    caption = "What is marked on parts, and every way it can be read"
    return Table("Markings read", caption, columns, (RowGroup(rows),)) if rows else None


def _read(marking: ReadMarking) -> Row:
    judged = verdicts.marking(marking)
    lines = (*(_reading(reading) for reading in marking.readings), *(((judged,),) if judged else ()))
    return Row(cell(Link(marking.name, marking.anchor), f", {marking.which}"), (cell(marking.marking), Cell(lines)))


def _reading(reading: MarkedValue) -> Phrase:
    limits = ""
    if reading.low is not None and reading.high is not None:
        limits = f" {verdicts.band_words(Tolerance(reading.low, reading.high))}"
    volts: Phrase = (" ", Amount(reading.volts, "V")) if reading.volts else ()
    how = f"{reading.how}; {reading.caution}" if reading.caution else reading.how
    return Amount(reading.value, reading.unit), limits, *volts, " ", aside(how)


def worn(findings: PartsFindings) -> Table | None:
    """Print and bands of the values that are new or still to do; None where there are none."""
    rows = tuple(_worn(marking, number) for number, marking in enumerate(findings.markings[1], 1))
    columns = (Column("Value"), Column("For"), Column("Printed"), Column("Bands"))
    caption = "Print and bands of the values that are new or still to do"
    return Table("Marks of the new parts", caption, columns, (RowGroup(rows),)) if rows else None


def _worn(marking: WornMarking, number: int) -> Row:
    tolerance: Phrase = (" ±", Amount(marking.tolerance, "1")) if marking.tolerance else ()
    printed = " or ".join(code for code in (marking.code, marking.letters) if code) or "in full"
    drawn = tuple((Drawing(f"parts-marks-{number}{end}", label),) for end, label in _DRAWN)
    cells = (cell(", ".join(marking.names)), cell(printed), Cell(drawn))
    return Row(cell(Amount(marking.value, marking.unit), *tolerance), cells)
