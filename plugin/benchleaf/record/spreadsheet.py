"""Readings typed into a spreadsheet and saved as CSV: one row a reading, with tube or rail, electrode or pin, volts."""

from __future__ import annotations

from dataclasses import dataclass

from .problems import Problem, quoted
from .saved_table import MOST_BYTES, MOST_ROWS, Headed, SavedTable, SpreadsheetCell, headed, saved_table, with_unit
from .sections.readings import Reading, read_reading, reading
from .set_files import Refusal
from .text import Text

__all__ = ["MOST_BYTES", "MOST_ROWS", "ReadPoints", "TableRow", "read_spreadsheet", "read_table", "unfit_name"]

LONGEST_NAME = 60
_HEADINGS = {
    **dict.fromkeys(("tube", "valve", "position", "place", "rail", "where", "tube or rail", "valve or rail"), "name"),
    **dict.fromkeys(("electrode", "element", "at", "electrode or pin", "pin or electrode"), "at"),
    **dict.fromkeys(("remark", "remarks", "note", "notes", "comment", "comments"), "note"),
    **dict.fromkeys(("pin", "pin number", "pin no", "pin no."), "pin"),
    **dict.fromkeys(("volts", "volt", "voltage", "reading", "value", "v", "measured", "measured volts"), "volts"),
}
_LAYOUT = "tube or rail, electrode or pin, volts"

ReadPoints = dict[Text, tuple[Reading, ...]]


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row: tube or rail, electrode or pin (empty for a rail), the reading as written, and what is noted of it."""

    name: SpreadsheetCell
    at: SpreadsheetCell
    volts: SpreadsheetCell
    note: str = ""


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


def notes_in(data: bytes, file: str) -> str:
    """What a column of remarks says, each behind its place, as the note of the whole list; empty where none does."""
    rows, _ = read_table(data, file)
    return "; ".join(f"{' '.join(f'{row.name} {row.at}'.split())}: {row.note}" for row in rows if row.note)


def read_table(data: bytes, file: str) -> tuple[list[TableRow], list[Problem]]:
    """The rows of a file as a spreadsheet program saves it, and a problem for each line that is none.

    A row of headings gives the columns in any order; without one they are tube or rail, electrode or pin, volts, and a
    row of two cells is a rail. A number in which a sign may part thousands is asked.
    """
    table, problems = saved_table(data, file, "the readings")
    if table is None:
        return [], problems
    head = headed(table, _HEADINGS, ("name", "volts"))
    columns = _columns(head, file, problems) if head else ()
    rows: list[TableRow] = []
    for cells in head.rows if head else table.rows:
        row = _by_heading(cells, columns, file) if head else _by_place(cells, table, file)
        doubt = table.doubt(row.volts) if isinstance(row, TableRow) else None
        if isinstance(row, Problem) or doubt:
            problems += [row] if isinstance(row, Problem) else [doubt] if doubt else []
        else:
            rows.append(row)
    return rows, problems


def _columns(head: Headed, file: str, problems: list[Problem]) -> tuple[tuple[str, str], ...]:
    """What each column holds, with its unit; one that is not known, or is there already, is told of and left out."""
    columns: list[tuple[str, str]] = []
    for cell, (meant, unit) in zip(head.headings, head.columns, strict=True):
        twice = meant in [before for before, _ in columns] and bool(meant)
        if cell and (twice or not meant):
            found = f"the heading {quoted(cell)}{' for a second column' if twice else ''}"
            problems.append(Problem(file, *cell.place, "", found, _LAYOUT, "the column is left out"))
        columns.append(("", "") if twice else (meant, unit))
    held = [meant for meant, _ in columns]
    missing = [word for word, column in (("tube or rail", "name"), ("volts", "volts")) if column not in held]
    if missing:
        found = f"no column of {' and '.join(missing)}"
        remedy = "name the columns in the first row"
        problems.append(Problem(file, *head.headings[0].place, "", found, _LAYOUT, remedy))
    return tuple(columns)


def _by_heading(
    cells: tuple[SpreadsheetCell, ...], columns: tuple[tuple[str, str], ...], file: str
) -> TableRow | Problem:
    """A row by the columns' headings. Where electrode and pin are both filled, both are said."""
    found: dict[str, SpreadsheetCell] = {}
    for cell, (column, unit) in zip(cells, columns, strict=False):
        if cell and column:
            found[column] = with_unit(cell, unit) if column == "volts" and unit.casefold() != "v" else cell
    if any(cell for cell in cells[len(columns) :]):
        return _not_a_row(cells, file)
    empty = SpreadsheetCell.of("", cells[0].place, file)
    name, at, pin, volts = (found.get(column, empty) for column in ("name", "at", "pin", "volts"))
    if volts and (at or pin) and not name:
        expected, remedy = "its name in each row", "merged cells are saved once: write the tube in each row"
        return Problem(file, *cells[0].place, "", "a reading without its tube", expected, remedy)
    if pin and at:
        at = SpreadsheetCell.of(f"pin {pin} {at}", at.place, file)
    at = at or pin
    return TableRow(name, at, volts, str(found.get("note", ""))) if name and volts else _not_a_row(cells, file)


def _by_place(cells: tuple[SpreadsheetCell, ...], table: SavedTable, file: str) -> TableRow | Problem:
    """A row by the places of its cells; two cells are a rail and its volts."""
    if len(cells) not in (2, 3) or not cells[0]:
        return _not_a_row(cells, file, decimal_comma=table.parted_by == "," and len(cells) == 4)
    at = cells[1] if len(cells) == 3 else SpreadsheetCell.of("", cells[-1].place, file)
    return TableRow(cells[0], at, cells[-1])


def _not_a_row(cells: tuple[SpreadsheetCell, ...], file: str, *, decimal_comma: bool = False) -> Problem:
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
