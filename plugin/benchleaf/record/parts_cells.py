"""A component from the cells of a spreadsheet's row, and as the line that stands for it in a record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Any

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from .adding.as_written import Added
from .line_items import listed
from .mapping import as_mapping
from .saved_table import SpreadsheetCell
from .sections.parts import Component, read_components
from .text import Entries, Listing, Text

_OF_COMPONENT = ("value", "volts", "watts", "tolerance", "type", "class", "measured", "leakage", "ESR", "condition")
_NAMED = ("measured", "leakage", "ESR")
"""What has its name before it in a line."""


def component_of(side: str, cells: Mapping[str, SpreadsheetCell]) -> Any:
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


def as_it_reads(component: Entries) -> Entries | Text:
    """A component as its cells say it; as the line they make, where only that can be read: ``470K 1/2W``."""
    try:
        Component.model_validate(component)
    except ValidationError:
        for line in _lines_of(component):
            with suppress(ValidationError, PydanticCustomError):
                if _holds(read_components(line), component):
                    return line
    return component


def _holds(read: Sequence[Component], component: Entries) -> bool:
    """Whether a line's components have a value, and something measured, where there are cells for them."""
    value, measured = (Text(key) in component for key in ("value", "measured"))
    return all(
        (c.value is not None or not value) and (c.measured is not None or c.leakage is not None or not measured)
        for c in read
    )


def _lines_of(component: Entries) -> Iterator[Text]:
    """The lines that a component's cells may make; what is measured may have its own word: ``leaky 3 Mohm``."""
    said = {str(key): str(cell) for key, cell in component.items()}
    plain = " ".join(cell for key, cell in said.items() if key not in _NAMED)
    named = [_said(key, cell) for key, cell in said.items() if key in _NAMED]
    bare = [cell if key == "measured" else _said(key, cell) for key, cell in said.items() if key in _NAMED]
    first = next(iter(component.values()))
    yield Text(", ".join([plain, *named] if plain else named)).like(first)
    if said.get("measured", "")[:1].isalpha():
        yield Text(", ".join([plain, *bare] if plain else bare)).like(first)


def _said(key: str, cell: str) -> str:
    return f"{key} {cell}" if key in _NAMED else str(cell)


def written(value: Any) -> Added:
    """What goes under a name in the file: a component as one line, where that reads as its cells do."""
    if isinstance(value, Listing):
        return ", ".join(value) if len(listed(Text(", ".join(value)))) == len(value) else [str(end) for end in value]
    if not isinstance(value, Entries):
        return str(value)
    line = next(_lines_of(value))
    return str(line) if _reads_as(line, value) else {str(key): str(cell) for key, cell in value.items()}


def _reads_as(line: Text, component: Entries) -> bool:
    """Whether a line says of a component what its cells say."""
    try:
        read = read_components(line)
    except ValueError:
        return False
    return len(read) == 1 and as_mapping(read[0]) == as_mapping(Component.model_validate(component))
