"""A parts list typed into a spreadsheet: columns named in words, in any order, as the parts of a record."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from .accustom import accustom_section
from .adding.as_written import Added
from .manner import Manner
from .parts_cells import as_it_reads, component_of, written
from .problems import Problem, quoted
from .saved_table import Headed, SavedTable, SpreadsheetCell, headed, saved_table, with_unit
from .sections.parts import Part, read_components
from .slips import Slips
from .telling import problems_of
from .text import Entries, Listing, Text
from .unknown import kind_by_unit, noun

_OF_PART = (
    "state", "outside foil", "positive", "ordered", "tested", "fitted", "checked", "why", "original", "note",
)  # fmt: skip
_OF_FOUND = ("measured", "leakage", "ESR", "condition")
"""What no sheet says: beside a column ``was`` it belongs to that."""
_KINDS = {"volts": ("voltage", "a voltage"), "watts": ("power", "a power")}
_UNITS = {"volts": "V", "watts": "W", "tolerance": "%"}
_WORDS = {
    "part": ("part", "name", "ref", "reference", "designator", "no", "position"),
    "job": ("job", "role", "function", "use", "purpose", "what it does", "description"),
    "from": ("from", "end 1", "one end"),
    "to": ("to", "end 2", "other end"),
    "between": ("between", "place", "connected"),
    "state": ("state", "status"),
    "why": ("why", "reason", "fault"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
    "original": ("original", "the old one"),
    "ordered": ("ordered",),
    "tested": ("tested",),
    "fitted": ("fitted", "date fitted"),
    "checked": ("checked",),
    "outside foil": ("outside foil",),
    "positive": ("positive", "plus"),
}
_COMPONENT_WORDS = {
    "value": ("value", "capacitance", "resistance", "capacity"),
    "volts": ("volts", "volt", "voltage", "v", "wv", "vdc", "wvdc", "vdcw", "working voltage", "rated volts"),
    "watts": ("watts", "watt", "w", "power", "wattage"),
    "tolerance": ("tolerance", "tol", "±"),
    "type": ("kind", "type", "sort", "dielectric"),
    "class": ("class", "safety class"),
    "measured": ("measured", "meas", "measured value"),
    "leakage": ("leakage",),
    "ESR": ("esr",),
    "condition": ("condition",),
}
_SIDES = {
    "sheet": ("sheet", "diagram", "schematic", "published"),
    "was": ("was", "old", "found", "as found", "before"),
    "now": ("now", "new", "replaced with", "replacement", "after"),
}
_PLAIN = "found"
"""The component that a column names no side of: what was found, or, beside a column `was`, the sheet's."""


_WITH_SURGE = re.compile(r"\d+\s?/\s?\d+")


def _meanings() -> dict[str, str]:
    """What a column holds by every word for it: a part's own key, a side, or a side and a component's key."""
    meant = {word: key for key, words in _WORDS.items() for word in words}
    meant |= {word: f"{_PLAIN} {key}" for key, words in _COMPONENT_WORDS.items() for word in words}
    for side, names in _SIDES.items():
        meant |= dict.fromkeys(names, side)
        for key, words in _COMPONENT_WORDS.items():
            meant |= {phrase: f"{side} {key}" for n in names for w in words for phrase in (f"{n} {w}", f"{w} {n}")}
    return meant


@dataclass(frozen=True, slots=True)
class ReadPart:
    """A part as a spreadsheet has it: its ``name``, what stands below it as it is ``written``, and the ``part``."""

    name: str
    written: dict[str, Added]
    part: Part


def read_parts_spreadsheet(data: bytes, file: str, site: Manner) -> tuple[list[ReadPart], list[Problem]]:
    """The parts of a spreadsheet in the order of its rows, and every row or cell that cannot be read.

    ``site`` is what the site has settled of how things may be written. A row that is refused leaves the others as they
    are; a cell that is refused leaves its row, and is kept in the part's note. A column that is not known is told of
    and left out.
    """
    table, problems = saved_table(data, file, "the parts")
    if table is None:
        return [], problems
    head = headed(table, _meanings(), ("part",))
    slips = Slips(file)
    if head is None:
        first = table.rows[0][0] if table.rows else None
        slips.add(first, "", "no row of headings", "a column “part”, and others such as job, value, volts, was, now")
        return [], [*problems, *slips.problems()]
    columns = _columns(head, slips)
    problems += slips.problems()
    parts: list[ReadPart] = []
    first_of: dict[str, int] = {}
    for row in head.rows:
        cells = _cells(row, columns)
        refused = _refused(row, cells, first_of)
        if refused:
            problems.append(refused)
            continue
        read = _PartsRow(cells, {key: cell for cell, (key, _) in zip(head.headings, columns, strict=True)}, file, site)
        read.leave(list(_doubts(cells, table)))
        part = read.part()
        parts += [part] if part else []
        problems += read.told
    return parts, sorted(problems)


def _columns(head: Headed, slips: Slips) -> list[tuple[str, str]]:
    """What each column holds, with its unit. A plain component is the sheet's where what was found has a column."""
    held = [meant for meant, _ in head.columns]
    plain = "sheet" if "was" in held else "was"
    columns: list[tuple[str, str]] = []
    for cell, (meant, unit) in zip(head.headings, head.columns, strict=True):
        side, _, of_side = meant.rpartition(" ")
        key = f"{plain if of_side not in _OF_FOUND else 'was'} {of_side}" if side == _PLAIN else meant
        if cell and not key:
            slips.add(cell, "", f"the heading {quoted(cell)}", "a name that parts have", "the column is left out")
        elif key and key in [before for before, _ in columns]:
            found = f"the heading {quoted(cell)} for a second column"
            slips.add(cell, "", found, "each once", "the column is left out")
            key = ""
        columns.append((key, unit))
    return columns


def _cells(row: Sequence[SpreadsheetCell], columns: Sequence[tuple[str, str]]) -> dict[str, SpreadsheetCell]:
    """The filled cells of a row by what they are, a number alone with the unit of its column."""
    found = {}
    for cell, (key, unit) in zip(row, columns, strict=False):
        if cell and key:
            of_side = key.rpartition(" ")[2]
            found[key] = with_unit(cell, unit or _UNITS.get(of_side, ""))
            if of_side == "volts" and _WITH_SURGE.fullmatch(cell):
                found[key] = SpreadsheetCell.of(f"{cell} V", cell.place, cell.file)
    return found


def _refused(
    row: Sequence[SpreadsheetCell], cells: Mapping[str, SpreadsheetCell], first_of: dict[str, int]
) -> Problem | None:
    """What keeps a row from being a part: no name, or one that was there already."""
    name = cells.get("part")
    if name is None:
        remedy = "merged cells are saved once: write the part in each row"
        found, expected = "a row without a part's name", "its name in each row"
        return Problem(row[0].file, *row[0].place, "", found, expected, remedy)
    line = first_of.setdefault(name.casefold(), name.place[0])
    if line == name.place[0]:
        return None
    found = f"{quoted(name)} a second time (first on line {line})"
    return Problem(name.file, *name.place, name, found, "each part once", "put both rows into one")


def _doubts(cells: Mapping[str, SpreadsheetCell], table: SavedTable) -> Iterator[Problem]:
    """What is asked of a row's cells: numbers that may be two, farads below volts, a component where the job is."""
    for key, cell in cells.items():
        doubt = table.doubt(cell) if " " in key else None
        wanted, of = _KINDS.get(key.rpartition(" ")[2], ("", "")), kind_by_unit(cell)
        if doubt:
            yield doubt
        elif wanted[0] and of and of != wanted[0]:
            expected = f"{wanted[1]} below that heading"
            at = f"{cells['part']}.{key.replace(' ', '.')}"
            yield Problem(cell.file, *cell.place, at, f"{quoted(cell)}, {noun(of)}", expected, "")
        elif key == "job" and cell[0] in ".0123456789" and _is_component(cell):
            expected, remedy = "what the part does", "give its value a column “value”, “was” or “now”"
            yield Problem(cell.file, *cell.place, f"{cells['part']}.job", quoted(cell), expected, remedy)


def _is_component(cell: Text) -> bool:
    try:
        return any(component.value for component in read_components(cell))
    except (ValidationError, PydanticCustomError):
        return False


class _PartsRow:
    """One row while it is read: its ``cells`` by what they are, the ``headings`` over them, what is ``told`` of it."""

    def __init__(
        self, cells: dict[str, SpreadsheetCell], headings: Mapping[str, SpreadsheetCell], file: str, site: Manner
    ) -> None:
        self.cells = cells
        self.told: list[Problem] = []
        self._headings = headings
        self._file = file
        self._site = site
        self._left: list[str] = []

    def part(self) -> ReadPart | None:
        """The part that the row's cells make, without those that cannot be read; None where its name cannot be one."""
        while True:
            entry = self._entry()
            try:
                part = Part.model_validate(entry)
            except ValidationError as error:
                if not self.leave(_of_part(self.cells["part"], p) for p in problems_of(error, entry, self._file)):
                    return None
                continue
            lines = {str(key): written(value) for key, value in entry.items()}
            return ReadPart(str(self.cells["part"]), lines, part)

    def leave(self, problems: Iterable[Problem]) -> bool:
        """Leave out the cells that problems are about, and tell those; whether there was any such cell."""
        left = 0
        for problem in problems:
            key = self._key_at(problem)
            if not any(f"{problem.field}.".startswith(f"{told.field}.") for told in self.told if told.field):
                kept = f"the cell is kept in the note of {self.cells['part']}"
                remedy = f"{problem.remedy}; {kept}" if problem.remedy else kept
                self.told.append(replace(problem, remedy=remedy if key else problem.remedy))
            if key:
                self._left.append(f"{self._headings[key].casefold()} “{self.cells.pop(key)}”")
                left += 1
        return bool(left)

    def _key_at(self, problem: Problem) -> str:
        """What the cell is in which a problem stands; empty where that is the part's name, or left out already."""
        before = [(c.place, key) for key, c in self.cells.items() if c.place <= (problem.line, problem.column)]
        key = max(before)[1] if before else ""
        return "" if key == "part" else key

    def _entry(self) -> Entries:
        cells, name = self.cells, self.cells["part"]
        entry = Entries(name.place)
        if "job" in cells:
            entry[Text("job", cells["job"].place)] = cells["job"]
        ends = [cells[end] for end in ("from", "to") if end in cells]
        if "between" in cells or ends:
            between = Text("between", (cells["between"] if "between" in cells else ends[0]).place)
            entry[between] = cells["between"] if "between" in cells and not ends else _listing(ends)
        for side in _SIDES:
            component = component_of(side, cells)
            if component is not None:
                entry[Text(side, name.place)] = component
        entry.update({Text(key, cells[key].place): cells[key] for key in _OF_PART if key in cells})
        if self._left:
            left = f"not read: {', '.join(self._left)}"
            note = f"{cells['note']}; {left}" if "note" in cells else left
            entry[Text("note", name.place)] = SpreadsheetCell.of(note, name.place, self._file)
        tree = Entries()
        tree[Text("parts")] = Entries()
        tree[Text("parts")][name] = entry
        accustom_section("parts", tree[Text("parts")], self._site)
        for side in _SIDES:
            if isinstance(entry.get(Text(side)), Entries):
                entry[Text(side, name.place)] = as_it_reads(entry[Text(side)])
        return entry


def _of_part(name: SpreadsheetCell, problem: Problem) -> Problem:
    field = f"{name}.{problem.field}".rstrip(".")
    return Problem(problem.file, problem.line, problem.column, field, problem.found, problem.expected, problem.remedy)


def _listing(ends: Sequence[SpreadsheetCell]) -> Listing:
    listing = Listing(ends[0].place)
    listing += ends
    return listing
