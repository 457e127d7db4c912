"""The parts list as a file: a table of plain numbers, whose unit stands in the heading or in the column beside."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ...report.comma_separated import table_csv
from ...report.sentence import Bare, text_of
from ...report.table import Cell, Column, Row, RowGroup, Table, cell
from ...words import AMERICAN, Words
from . import verdicts

if TYPE_CHECKING:
    from ...circuit.pieces import Seen, Tolerance
    from ...record.model import Record
    from .findings import PartFindings, PartsFindings

_SIZES = {
    "F": ((1e-9, 1e-12, "pF"), (1e-7, 1e-9, "nF"), (math.inf, 1e-6, "uF")),
    "ohm": ((1e3, 1.0, "ohm"), (1e6, 1e3, "kohm"), (math.inf, 1e6, "megohm")),
    "H": ((1e-3, 1e-6, "uH"), (1.0, 1e-3, "mH"), (math.inf, 1.0, "H")),
}

_SIDES = ("sheet", "found", "now")
_OF_A_SIDE = (
    "{} value", "{} unit", "{} rating (V)", "{} rating (W)", "{} tolerance low (%)", "{} tolerance high (%)", "{} type",
    "{} class",
)  # fmt: skip
_OF_A_MEASURED = (
    *_OF_A_SIDE,
    "{0} measured",
    "{0} measured unit",
    "{0} drift (%)",
    "{0} leakage (uA)",
    "{0} leakage at (V)",
)
JUDGED = ("found against tolerance", "now against tolerance", "ratings and marks", "verdict")
"""What the page says of a part; it follows from the whole record, not from the part alone."""
HEADINGS = (
    "part", "section", "job", "end 1", "end 2", "state",
    *(h.format("sheet") for h in _OF_A_SIDE),
    *(h.format("found") for h in _OF_A_MEASURED),
    *(h.format("now") for h in _OF_A_MEASURED),
    "change of value (%)", "outside foil", "positive", "ordered", "tested", "fitted", "checked", "why", "original",
    "note", "sheet as written", "found as written", "now as written",
    *JUDGED,
)  # fmt: skip


CellValue = str | float | datetime.date | None
"""What stands in a cell; None and an empty text for nothing."""


def as_csv(record: Record, findings: PartsFindings | None, words: Words = AMERICAN) -> str:
    """The parts list, headings first, one line a component; lines end with CR and LF."""
    return values_csv("Every part, one line a component", HEADINGS, part_rows(record, findings, words))


def part_rows(
    record: Record, findings: PartsFindings | None, words: Words = AMERICAN
) -> Iterator[tuple[CellValue, ...]]:
    """The values of each component under ``HEADINGS``, in the order of the list."""
    for row in findings.rows() if findings else ():
        yield tuple(_row(record, row, words))


def values_csv(said: str, headings: Iterable[str], rows: Iterable[tuple[CellValue, ...]]) -> str:
    """Values under their headings as CSV; ``said`` is what the table holds, in words."""
    columns = tuple(Column(heading) for heading in headings)
    listed = (tuple(_cell(value) for value in row) for row in rows)
    group = RowGroup(tuple(Row(cells[0], cells[1:]) for cells in listed))
    return table_csv(Table("Parts list", said, columns, (group,)))


def _cell(value: CellValue) -> Cell:
    if value is None or value == "":
        return Cell()
    if isinstance(value, float | int):
        return cell(Bare(value))
    return cell(value if isinstance(value, str) else value.isoformat())


def _row(record: Record, row: PartFindings, words: Words) -> Iterator[CellValue]:
    part, piece = record.parts[row.part], row.piece  # type: ignore[index]
    ends = piece.ends or ("", "")
    yield from (row.part, piece.section, piece.job, *ends, row.state)
    yield from _side(piece.sheet)
    yield from _side(piece.was)
    yield from _measured(piece.was, row.was_drift)
    yield from _side(piece.now)
    yield from _measured(piece.now, row.now_drift)
    yield _percent(row.change_of_value)
    yield from (piece.outside_foil, piece.positive, part.ordered, part.tested, part.fitted, part.checked)
    yield from (piece.why or str(part.why or ""), str(part.original or ""), piece.note or str(part.note or ""))
    yield from (seen.line if seen else "" for seen in (piece.sheet, piece.was, piece.now))
    yield text_of((verdicts.as_found(row),)) if piece.was and piece.was.measured_bound else ""
    yield text_of((verdicts.as_new(row),)) if piece.now and piece.now.measured_bound else ""
    yield "; ".join(text_of(line) for line in verdicts.ratings(row, words))
    worst = verdicts.worst(row, words)
    yield worst.word if worst else ""


def _side(seen: Seen | None) -> tuple[str | float | None, ...]:
    if seen is None:
        return ("",) * len(_OF_A_SIDE)
    band = seen.tolerance
    return (
        *_sized(seen.value, seen.unit),
        seen.volts,
        seen.watts,
        *_limits(band),
        seen.type or seen.condition,
        seen.safety_class,
    )


def _limits(band: Tolerance | None) -> tuple[float | None, float | None]:
    return (_percent(band.low), _percent(band.high)) if band else (None, None)


def _measured(seen: Seen | None, drift: float | None) -> tuple[str | float | None, ...]:
    if seen is None:
        return ("",) * (len(_OF_A_MEASURED) - len(_OF_A_SIDE))
    sized = _sized(seen.measured, seen.unit) if seen.measured_bound == "exact" else (seen.measured_typed, "")
    amps = seen.leakage_amps * 1e6 if seen.leakage_amps is not None else None
    return (*sized, _percent(drift), amps, seen.leakage_volts)


def _sized(value: float | None, unit: str) -> tuple[float | None, str]:
    """A value in the trade's own size, and the size."""
    if value is None or unit not in _SIZES:
        return None, ""
    factor, name = next((f, n) for below, f, n in _SIZES[unit] if abs(value) < below * (1 - 1e-12))
    return value / factor, name


def _percent(ratio: float | None) -> float | None:
    return None if ratio is None else round(ratio * 100, 6)
