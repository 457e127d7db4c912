"""A club's own tubes, as CSV beside its records: the columns of the package's tables, each cell looked at.

What cannot be read is told at its line and column, and the row left out; the others stand.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from ..tubes import BEYOND_HEATER_AMPS, BEYOND_HEATER_VOLTS, PIN_COUNT, base_name, find
from ..tubes.build_tube import parts_of
from ..tubes.electrodes import short_keys
from ..tubes.lookup import LONGEST_DESIGNATION, squeezed
from ..tubes.tables import CsvRow, columns_of, role_rows
from ..tubes.tube import TOP_CAP, Maxima, Tube
from ..tubes.tube_table import PACKAGE_TABLE, TubeTable, table_of
from .encoding import decode
from .problems import MOST_TOLD, Problem, did_you_mean, one_of, quoted
from .saved_table import SpreadsheetCell, cells_of
from .text import Text

FILES = ("types.csv", "pins.csv", "ratings.csv", "typical.csv", "names.csv")
"""What a club's own table may consist of, in the order it is read."""
MOST_ROWS = 5_000
LONGEST_CELL = 300

_NEEDED = {
    "types.csv": ("type", "heater_volts", "heater_amps", "heater_source", "cathode", "base", "role"),
    "pins.csv": ("type", "pin", "electrode", "source"),
    "ratings.csv": ("type", "source"),
    "typical.csv": ("type", "source"),
    "names.csv": ("name", "type", "source"),
}
_RELATIONS = ("equivalent", "other printed name", "earlier name")
_CATHODES, _YES = ("heater", "filament"), ("yes", "no")
_MOST = {"volts": BEYOND_HEATER_VOLTS, "amps": BEYOND_HEATER_AMPS}
_BEYOND_ANY = 1e7
_NUMBERS = re.compile(r".*_(?:volts|amps|w|v|ma|ohms|siemens)|mu")
_SOURCE = "where it was read, or “from memory”"

_Row = dict[str, SpreadsheetCell]


@lru_cache(maxsize=4)
def read_own_table(files: Sequence[tuple[str, bytes]]) -> tuple[TubeTable, tuple[Problem, ...]]:
    """The table with a club's ``files`` (as shown to the writer, their content), and what in them cannot be read."""
    if not files:
        return PACKAGE_TABLE, ()
    reading = _Reading()
    for shown, data in sorted(files, key=lambda file: FILES.index(file[0].rpartition("/")[2])):
        reading.read(shown, data)
    table = table_of(reading.types(), {name: reading.by_type(name) for name in FILES[1:]})
    return table, tuple(sorted(reading.problems)[:MOST_TOLD])


@dataclass
class _Reading:
    """The rows read so far, by file, and the problems.

    ``bases`` and ``spelt`` give the base and the spelling of each type of ``types.csv``; ``taken`` holds its types, the
    other names, and the pins of types that were given.
    """

    rows: dict[str, list[_Row]] = field(default_factory=lambda: {name: [] for name in FILES})
    problems: list[Problem] = field(default_factory=list)
    bases: dict[str, str] = field(default_factory=dict)
    spelt: dict[str, str] = field(default_factory=dict)
    taken: set[str] = field(default_factory=set)

    def types(self) -> list[CsvRow]:
        """The rows of types, with the base by its name here and what may be left out."""
        return [
            {
                **row,
                "base": base_name(str(row["base"])) or "",
                "identity_source": row["identity_source"] or row["heater_source"],
                "tap_source": row["tap_source"] or row["heater_source"],
            }
            for row in self.rows["types.csv"]
        ]

    def by_type(self, name: str) -> dict[str, list[CsvRow]]:
        """The rows of a file by the type they are about."""
        grouped: dict[str, list[CsvRow]] = {}
        for row in self.rows[name]:
            whole = row | {"relation": row["relation"] or Text(_RELATIONS[0])} if name == "names.csv" else row
            known = _in_package(str(row["type"]))
            type_ = known.type if known else self.spelt[squeezed(str(row["type"]))]
            grouped.setdefault(type_, []).append(whole)
        return grouped

    def read(self, shown: str, data: bytes) -> None:
        """All rows of one file that can be read."""
        name = shown.rpartition("/")[2]
        text, problems = decode(data, shown)
        self.problems += problems
        lines = cells_of(text, ",", shown)
        columns = self._columns(next(lines, None), name, shown)
        if columns is None:
            return
        for number, cells in enumerate(lines):
            if number == MOST_ROWS:
                found, expected = f"more than {MOST_ROWS:,} rows", f"at most {MOST_ROWS:,}"
                self.problems.append(Problem(shown, *cells[0].place, "", found, expected))
                return
            row = self._row(cells, columns, name, shown)
            told = [] if row is None else [*_faults(row, name, shown), *self._clashes(row, name)]
            self.problems += told
            if row is not None and not told:
                self._take(row, name)

    def _columns(self, cells: list[SpreadsheetCell] | None, name: str, shown: str) -> list[str] | None:
        known, needed = columns_of(name), _NEEDED[name]
        if cells is None:
            self.problems.append(Problem(shown, 1, 1, "", "nothing", f"the columns {one_of(needed, 'and')}"))
            return None
        given = [str(cell) for cell in cells]
        told = []
        for cell in cells:
            if str(cell) not in known:
                expected = "a column of the tube table"
                told.append(_problem(cell, "", expected, did_you_mean(str(cell), known)))
            elif given.count(str(cell)) > 1:
                told.append(_problem(cell, "", "each column once"))
        missing = [column for column in needed if column not in given]
        if missing:
            found = f"no column {one_of([quoted(m) for m in missing], 'and')}"
            told.append(Problem(shown, *cells[0].place, "", found, "a first line with the names of the columns"))
        self.problems += told
        return None if told else given

    def _row(self, cells: list[SpreadsheetCell], columns: list[str], name: str, shown: str) -> _Row | None:
        if len(cells) != len(columns):
            found, expected = f"{len(cells)} cells", f"{len(columns)}, as in the first line"
            remedy = "write a cell with a comma in it between quotation marks"
            self.problems.append(Problem(shown, *cells[0].place, "", found, expected, remedy))
            return None
        empty = {column: SpreadsheetCell.of("", cells[0].place, shown) for column in columns_of(name)}
        return empty | dict(zip(columns, cells, strict=True))

    def _clashes(self, row: _Row, name: str) -> Iterator[Problem]:
        """What cannot stand beside the package's table or an earlier row."""
        type_ = row["type"]
        if not type_:
            return
        own, known = squeezed(str(type_)) in self.bases, _in_package(str(type_))
        if name == "types.csv":
            if known:
                yield _problem(type_, "type", "a type that the tube table lacks", "add to it in the other files")
            elif own:
                yield _problem(type_, "type", "each type once")
        elif not own and known is None:
            yield _problem(type_, "type", "a type of types.csv, or of the tube table by its own name")
        elif name == "pins.csv":
            yield from self._pin_clashes(row, known)
        elif name == "ratings.csv" and known and known.maxima != Maxima():
            yield _problem(type_, "type", "a type without ratings in the tube table")
        elif name == "names.csv" and (find(str(row["name"])) or squeezed(str(row["name"])) in self.taken):
            yield _problem(row["name"], "name", "a name that leads to no type yet")

    def _pin_clashes(self, row: _Row, known: Tube | None) -> Iterator[Problem]:
        type_, pin = row["type"], row["pin"]
        base = known.base if known else self.bases[squeezed(str(type_))]
        most = PIN_COUNT[base] if base else max(PIN_COUNT.values())
        if known and known.pin_rows:
            yield _problem(type_, "type", "a type without pins in the tube table")
        if f"{squeezed(str(type_))} {pin}" in self.taken:
            yield _problem(pin, "pin", "each pin of a type once")
        if pin != TOP_CAP and not (pin.isascii() and pin.isdecimal() and 1 <= int(pin[:3]) <= most):
            yield _problem(pin, "pin", f"1 to {most}, or “{TOP_CAP}”")

    def _take(self, row: _Row, name: str) -> None:
        self.rows[name].append(row)
        type_ = squeezed(str(row["type"]))
        if name == "types.csv":
            self.bases[type_], self.spelt[type_] = base_name(str(row["base"])) or "", str(row["type"])
            self.taken.add(type_)
        elif name in ("pins.csv", "names.csv"):
            self.taken.add(f"{type_} {row['pin']}" if name == "pins.csv" else squeezed(str(row["name"])))


def _in_package(type_: str) -> Tube | None:
    """The package's tube of that type, named as the table names it."""
    known = find(type_)
    return known if known is not None and known.asked_as == "type" else None


def _faults(row: _Row, name: str, shown: str) -> Iterator[Problem]:
    """Every cell of a row that cannot be what its column says."""
    for column, cell in row.items():
        if not cell and column in _NEEDED[name]:
            expected = _SOURCE if column.endswith("source") else "something in this cell"
            yield Problem(shown, *cell.place, column, "nothing", expected)
        elif len(cell) > LONGEST_CELL:
            yield _problem(cell, column, f"at most {LONGEST_CELL} characters")
        elif cell and _NUMBERS.fullmatch(column):
            yield from _number(cell, column)
        elif cell and column in _CHECKS:
            yield from _CHECKS[column](cell)
    if name in ("ratings.csv", "typical.csv") and not any(row[c] for c in row if _NUMBERS.fullmatch(c)):
        yield Problem(shown, *row["type"].place, "", "a row without a value", "one value at least")


def _number(cell: SpreadsheetCell, column: str) -> Iterator[Problem]:
    try:
        value = float(cell) if re.fullmatch(r"-?[\d.]+(?:e-?\d{1,2})?", cell) else math.nan
    except ValueError:
        value = math.nan
    most = _MOST.get(column.rpartition("_")[2], _BEYOND_ANY)
    if math.isnan(value):
        comma = str(cell).replace(",", ".")
        yield _problem(cell, column, "a number", f"write {comma}" if re.fullmatch(r"[\d.]+", comma) else "")
    elif column == "grid_v":
        if abs(value) >= most:
            yield _problem(cell, column, f"a number below {most:,.0f}")
    elif not 0 < value < most:
        yield _problem(cell, column, f"a number above zero and below {most:,.0f}")


def _type(cell: SpreadsheetCell) -> Iterator[Problem]:
    if len(cell) > LONGEST_DESIGNATION or not squeezed(str(cell)):
        yield _problem(cell, "type", f"a designation of at most {LONGEST_DESIGNATION} letters and figures")


def _base(cell: SpreadsheetCell) -> Iterator[Problem]:
    if base_name(str(cell)) is None:
        yield _problem(cell, "base", "a base by its name", did_you_mean(str(cell), PIN_COUNT) or _all(PIN_COUNT))


def _electrode(cell: SpreadsheetCell) -> Iterator[Problem]:
    known = short_keys()
    for part in parts_of(str(cell)):
        if part not in known:
            yield _problem(cell, "electrode", "short names joined by +, such as k+g3", _all(sorted(known)))
            return


def _one_of(column: str, words: Sequence[str]) -> Callable[[SpreadsheetCell], Iterator[Problem]]:
    def check(cell: SpreadsheetCell) -> Iterator[Problem]:
        if str(cell) not in words:
            near = did_you_mean(str(cell), words)
            yield _problem(cell, column, one_of([*words], "or") if len(words) < 5 else f"a {column} known here", near)

    return check


def _role(cell: SpreadsheetCell) -> Iterator[Problem]:
    yield from _one_of("role", tuple(role_rows()))(cell)


_CHECKS: Mapping[str, Callable[[SpreadsheetCell], Iterator[Problem]]] = {
    "type": _type,
    "name": _type,
    "base": _base,
    "role": _role,
    "electrode": _electrode,
    "cathode": _one_of("cathode", _CATHODES),
    "top_cap": _one_of("top_cap", _YES),
    "relation": _one_of("relation", _RELATIONS),
}


def _all(words: Mapping[str, object] | Sequence[str]) -> str:
    return f"known here: {one_of(tuple(words), 'and')}"


def _problem(cell: SpreadsheetCell, column: str, expected: str, remedy: str = "") -> Problem:
    return Problem(cell.file, *cell.place, column, quoted(str(cell)), expected, remedy)
