"""A parts list typed into a spreadsheet: columns named in words, in any order, as the parts of a record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from .accustom import accustom_section
from .adding.as_written import Added
from .line_items import listed
from .manner import Manner
from .mapping import as_mapping
from .problems import Problem, quoted
from .saved_table import Headed, SavedTable, SpreadsheetCell, headed, saved_table, with_unit
from .sections.parts import Component, Part, read_components
from .slips import Slips
from .telling import problems_of
from .text import Entries, Listing, Text

_OF_PART = (
    "state", "outside foil", "positive", "ordered", "tested", "fitted", "checked", "why", "original", "note",
)  # fmt: skip
_OF_COMPONENT = ("value", "volts", "watts", "tolerance", "type", "class", "measured", "leakage", "ESR", "condition")
_NAMED = ("measured", "leakage", "ESR")
"""What has its name before it in a line."""
_UNITS = {"volts": "V", "watts": "W", "tolerance": "%"}
_WORDS = {
    "part": ("part", "name", "ref", "reference", "designator", "no", "position"),
    "job": ("job", "role", "function", "use", "purpose", "what it does"),
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
    "volts": ("volts", "volt", "voltage", "v", "wv", "vdc", "working voltage", "rated volts"),
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
    are. A column that is not known is told of and left out.
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
        told = list(_asked(row, cells, table, first_of))
        if not told:
            read = _read(cells, file, site)
            if isinstance(read, ReadPart):
                parts.append(read)
                continue
            told = read
        problems += told
    return parts, sorted(problems)


def _columns(head: Headed, slips: Slips) -> list[tuple[str, str]]:
    """What each column holds, with its unit. A plain component is the sheet's where what was found has a column."""
    held = [meant for meant, _ in head.columns]
    plain = "sheet" if "was" in held else "was"
    columns: list[tuple[str, str]] = []
    for cell, (meant, unit) in zip(head.headings, head.columns, strict=True):
        key = meant.replace(f"{_PLAIN} ", f"{plain} ") if meant.startswith(f"{_PLAIN} ") else meant
        if key == "sheet measured":
            remedy = "write “was measured” or “now measured”"
            slips.add(cell, "", f"the heading {quoted(cell)}", "which value was measured", remedy)
            key = ""
        elif cell and not key:
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
            found[key] = with_unit(cell, unit or _UNITS.get(key.rpartition(" ")[2], ""))
    return found


def _asked(
    row: Sequence[SpreadsheetCell], cells: Mapping[str, SpreadsheetCell], table: SavedTable, first_of: dict[str, int]
) -> Iterator[Problem]:
    """What keeps a row from being a part: no name, one that was there already, numbers that may be two."""
    name = cells.get("part")
    place, file = row[0].place, row[0].file
    if name is None:
        remedy = "merged cells are saved once: write the part in each row"
        yield Problem(file, *place, "", "a row without a part's name", "its name in each row", remedy)
    elif (folded := name.casefold()) in first_of:
        found = f"{quoted(name)} a second time (first on line {first_of[folded]})"
        yield Problem(file, *name.place, name, found, "each part once", "put both rows into one")
    else:
        first_of[folded] = name.place[0]
    yield from (doubt for key, cell in cells.items() if " " in key and (doubt := table.doubt(cell)))


def _read(cells: Mapping[str, SpreadsheetCell], file: str, site: Manner) -> ReadPart | list[Problem]:
    name = cells["part"]
    entry = Entries(name.place)
    if "job" in cells:
        entry[Text("job", cells["job"].place)] = cells["job"]
    ends = [cells[end] for end in ("from", "to") if end in cells]
    if "between" in cells or ends:
        between = Text("between", (cells["between"] if "between" in cells else ends[0]).place)
        entry[between] = cells["between"] if "between" in cells and not ends else _listing(ends)
    for side in _SIDES:
        component = _component(side, cells)
        if component is not None:
            entry[Text(side, name.place)] = component
    entry.update({Text(key, cells[key].place): cells[key] for key in _OF_PART if key in cells})
    tree = Entries()
    tree[Text("parts")] = Entries()
    tree[Text("parts")][name] = entry
    accustom_section("parts", tree[Text("parts")], site)
    try:
        part = Part.model_validate(entry)
    except ValidationError as error:
        return [_of_part(name, problem) for problem in problems_of(error, entry, file)]
    return ReadPart(str(name), {str(key): _written(value) for key, value in entry.items()}, part)


def _of_part(name: SpreadsheetCell, problem: Problem) -> Problem:
    field = f"{name}.{problem.field}".rstrip(".")
    return Problem(problem.file, problem.line, problem.column, field, problem.found, problem.expected, problem.remedy)


def _component(side: str, cells: Mapping[str, SpreadsheetCell]) -> Any:
    """One component from the cells of its side: a line where it has a cell for itself alone, else names and values."""
    own = {key: cells[f"{side} {key}"] for key in _OF_COMPONENT if f"{side} {key}" in cells}
    line = cells.get(side)
    if line is not None and not own:
        return line
    if line is not None:
        whole = ", ".join([line, *(_said(key, cell) for key, cell in own.items())])
        return SpreadsheetCell.of(whole, line.place, line.file)
    if not own:
        return None
    component = Entries(next(iter(own.values())).place)
    for key, cell in own.items():
        component[Text(key, cell.place)] = cell
    return component


def _said(key: str, cell: str) -> str:
    return f"{key} {cell}" if key in _NAMED else str(cell)


def _written(value: Any) -> Added:
    """What goes under a name in the file: a component as one line, where that reads as its cells do."""
    if isinstance(value, Listing):
        return ", ".join(value) if len(listed(Text(", ".join(value)))) == len(value) else [str(end) for end in value]
    if not isinstance(value, Entries):
        return str(value)
    named = [_said(key, cell) for key, cell in value.items() if key in _NAMED]
    plain = [str(cell) for key, cell in value.items() if key not in _NAMED]
    line = Text(", ".join([" ".join(plain), *named] if plain else named)).like(next(iter(value.values())))
    return str(line) if _reads_as(line, value) else {str(key): str(cell) for key, cell in value.items()}


def _reads_as(line: Text, component: Entries) -> bool:
    """Whether a line says of a component what its cells say."""
    try:
        read = read_components(line)
    except ValueError:
        return False
    return len(read) == 1 and as_mapping(read[0]) == as_mapping(Component.model_validate(component))


def _listing(ends: Sequence[SpreadsheetCell]) -> Listing:
    listing = Listing(ends[0].place)
    listing += ends
    return listing
