"""Readings typed into a spreadsheet and saved as CSV: one row a reading, with tube or rail, electrode or pin, volts."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass

from .encoding import decode
from .problems import Problem, quoted
from .sections.readings import Reading, read_reading, reading
from .set_files import Refusal
from .text import LineColumn, Text

MOST_BYTES = 1_000_000
MOST_ROWS = 5_000
LONGEST_NAME = 60
_HEADINGS = {
    **dict.fromkeys(("tube", "valve", "position", "place", "rail", "where", "tube or rail", "valve or rail"), "name"),
    **dict.fromkeys(("electrode", "at", "electrode or pin", "pin or electrode"), "at"),
    **dict.fromkeys(("pin", "pin number", "pin no", "pin no."), "pin"),
    **dict.fromkeys(("volts", "volt", "voltage", "reading", "value", "v", "measured", "measured volts"), "volts"),
}
_UNIT = re.compile(r"\s*[(\[].*[)\]]\s*$|\s+in\s+(v|volts?)$")
_LAYOUT = "tube or rail, electrode or pin, volts"

ReadPoints = dict[Text, tuple[Reading, ...]]


class SpreadsheetCell(Text):
    """A cell's text, which knows the file it stands in too."""

    file: str

    @classmethod
    def of(cls, value: str, place: LineColumn, file: str) -> SpreadsheetCell:
        """The text without blanks around it; ``place`` is that of the cell."""
        cell = cls(value.strip(), (place[0], place[1] + len(value) - len(value.lstrip())))
        cell.file = file
        return cell


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row of the spreadsheet: tube or rail, electrode or pin (empty for a rail), and the reading as written."""

    name: SpreadsheetCell
    at: SpreadsheetCell
    volts: SpreadsheetCell


def unfit_name(written: str) -> Refusal | None:
    """Why ``written`` cannot be the path of a CSV file within the set's folder; None if it can."""
    steps = written.split("/")
    found = ""
    if not written.casefold().endswith(".csv"):
        found = "a file that is no CSV"
    elif "\\" in written or "\0" in written or "" in steps or ".." in steps or len(written) > 200:
        found = "a path that leads out of the set's folder"
    return Refusal(found, "a CSV file in the set's folder", "") if found else None


def read_spreadsheet(data: bytes, file: str) -> tuple[ReadPoints, list[Problem]]:
    """The readings of a spreadsheet by tube or rail, in the order of the rows, and every row that cannot be read.

    ``file`` is the name that the problems carry. A row that is refused leaves the others as they are.
    """
    rows, problems = read_table(data, file)
    points: dict[Text, list[Reading]] = {}
    taken: set[tuple[str, str]] = set()
    for row in rows:
        read = _reading(row, file, taken)
        if isinstance(read, Problem):
            problems.append(read)
        else:
            points.setdefault(row.name, []).append(read)
    return {name: tuple(readings) for name, readings in points.items()}, sorted(problems)


def read_table(data: bytes, file: str) -> tuple[list[TableRow], list[Problem]]:
    """The rows of a CSV file in UTF-8, and a problem for each line that is none.

    Comma, semicolon or tab part the cells, whichever the first line has most of; a decimal comma goes with semicolon or
    tab. A first row of headings gives the columns in any order; without one they are tube or rail, electrode or pin,
    volts, and a row of two cells is a rail. Empty rows are passed over.
    """
    if len(data) > MOST_BYTES:
        found, expected = f"a file of more than {MOST_BYTES:,} bytes", f"at most {MOST_BYTES:,}"
        return [], [Problem(file, 1, 1, "", found, expected, "keep only the readings")]
    text, problems = decode(data, file)
    if problems:
        return [], problems
    rows: list[TableRow] = []
    columns: list[str] | None = None
    parted_by = max("\t;,", key=text.lstrip("\n").split("\n", 1)[0].count)
    for number, cells in enumerate(cells_of(text, parted_by, file)):
        if number == 0 and (columns := _columns(cells, file, problems)):
            continue
        if len(rows) == MOST_ROWS:
            found = f"more than {MOST_ROWS:,} rows"
            problems.append(Problem(file, *cells[0].place, "", found, f"at most {MOST_ROWS:,}", "use a second file"))
            break
        row = _by_heading(cells, columns, file) if columns else _by_place(cells, parted_by, file)
        if isinstance(row, Problem):
            problems.append(row)
        else:
            rows.append(row)
    return rows, problems


def cells_of(text: str, parted_by: str, file: str) -> Iterator[list[SpreadsheetCell]]:
    """The cells of each line that has any, with their places."""
    for number, line in enumerate(text.split("\n"), 1):
        try:
            values = next(csv.reader([line], delimiter=parted_by), [])
        except csv.Error:
            values = line.split(parted_by)
        column, cells = 1, []
        for value in values:
            cells.append(SpreadsheetCell.of(value, (number, column), file))
            column += len(value) + 1
        if any(cells):
            yield cells


def _columns(cells: list[SpreadsheetCell], file: str, problems: list[Problem]) -> list[str] | None:
    """What each column holds, if the cells are headings; a column with another heading is told of and left out."""
    meant = [_HEADINGS.get(_UNIT.sub("", " ".join(cell.casefold().split())), "") for cell in cells]
    if not any(meant) or ("name" not in meant and "volts" not in meant):
        return None
    for cell, column in zip(cells, meant, strict=True):
        if cell and not column:
            remedy = "the column is left out"
            problems.append(Problem(file, *cell.place, "", f"the heading {quoted(cell)}", _LAYOUT, remedy))
    missing = [word for word, column in (("tube or rail", "name"), ("volts", "volts")) if column not in meant]
    if missing:
        found = f"no column of {' and '.join(missing)}"
        problems.append(Problem(file, *cells[0].place, "", found, _LAYOUT, "name the columns in the first row"))
    return meant


def _by_heading(cells: list[SpreadsheetCell], columns: list[str], file: str) -> TableRow | Problem:
    """A row by the columns' headings. Where electrode and pin are both filled, both are said."""
    found: dict[str, SpreadsheetCell] = {}
    for cell, column in zip(cells, columns, strict=False):
        if cell and column and column not in found:
            found[column] = cell
    if any(cell for cell in cells[len(columns) :]):
        return _not_a_row(cells, file)
    empty = SpreadsheetCell.of("", cells[0].place, file)
    name, at, pin, volts = (found.get(column, empty) for column in ("name", "at", "pin", "volts"))
    if pin and at:
        at = SpreadsheetCell.of(f"pin {pin} {at}", at.place, file)
    at = at or pin
    return TableRow(name, at, volts) if name and volts else _not_a_row(cells, file)


def _by_place(cells: list[SpreadsheetCell], parted_by: str, file: str) -> TableRow | Problem:
    """A row by the places of its cells; two cells are a rail and its volts."""
    filled = cells[: 1 + max(index for index, cell in enumerate(cells) if cell)]
    if len(filled) not in (2, 3) or not filled[0] or not filled[-1]:
        return _not_a_row(cells, file, decimal_comma=parted_by == "," and len(filled) == 4)
    at = filled[1] if len(filled) == 3 else SpreadsheetCell.of("", filled[-1].place, file)
    return TableRow(filled[0], at, filled[-1])


def _not_a_row(cells: list[SpreadsheetCell], file: str, *, decimal_comma: bool = False) -> Problem:
    count = sum(map(bool, cells))
    found = f"{count} cell{'s' if count != 1 else ''} in the row"
    remedy = "leave other columns out"
    if decimal_comma:
        remedy = "with a decimal comma, part the cells by semicolons"
    return Problem(file, cells[0].place[0], 1, "", found, f"two or three: {_LAYOUT}", remedy)


def _reading(row: TableRow, file: str, taken: set[tuple[str, str]]) -> Reading | Problem:
    """One row as a reading of the model."""
    for cell in (row.name, row.at):
        if len(cell) > LONGEST_NAME:
            found, expected = quoted(cell), f"at most {LONGEST_NAME} letters"
            return Problem(file, *cell.place, "", found, expected, "write the tube's position and its electrode")
    key = (row.name.casefold(), row.at.casefold())
    if key in taken:
        found = f"{quoted(f'{row.name} {row.at}'.strip())} a second time"
        return Problem(file, *row.name.place, row.name, found, "each once", "delete one of the rows")
    taken.add(key)
    try:
        return reading(row.at, read_reading(row.volts))
    except ValueError as error:
        told = getattr(error, "context", None) or {}
        expected, remedy = told.get("expected", "a voltage"), told.get("remedy", "")
        return Problem(file, *row.volts.place, row.name, quoted(row.volts), expected, remedy)
