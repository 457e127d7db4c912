"""A table as data: what stands in it is said once, and HTML and CSV are made from it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from .amount import Amount, Origin
from .sentence import Phrase, PhrasePart, sources_in, text_of
from .source import Source

LEFT, NUMBER, DECIMAL = "left", "number", "decimal"
"""How a column stands: as text, as numbers, or as numbers whose decimal points line up."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. ``origin`` is how its numbers came about where they all came about alike."""

    heading: str
    align: str = LEFT
    origin: Origin = Origin.STATED


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in one place: lines of words, none where there is nothing to say.

    ``origin`` overrides the column's. ``span`` is how many columns it takes.
    """

    lines: tuple[Phrase, ...] = ()
    origin: Origin | None = None
    span: int = 1

    @property
    def text(self) -> str:
        """Its lines as plain text, with semicolons between."""
        return "; ".join(said for line in self.lines if (said := text_of(line)))


def cell(*words: PhrasePart, origin: Origin | None = None) -> Cell:
    """A cell of one line."""
    return Cell((words,) if words else (), origin)


@dataclass(frozen=True, slots=True)
class Row:
    """A row with its heading. ``anchor`` is its id; ``also`` a second id, of the whole it is the first piece of."""

    head: Cell
    cells: tuple[Cell, ...]
    anchor: str = ""
    also: str = ""


@dataclass(frozen=True, slots=True)
class RowGroup:
    """Rows under a heading of their own; without one they stand straight below the table's head."""

    rows: tuple[Row, ...]
    heading: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table: ``label`` names it to those who hear the page, ``caption`` says what it shows.

    The first column holds the rows' headings. ``kind`` is its class where its columns stay columns on a narrow screen.
    """

    label: str
    caption: str
    columns: tuple[Column, ...]
    groups: tuple[RowGroup, ...] = field(default=())
    kind: str = ""

    def rows(self) -> Iterator[Row]:
        """All rows, in order."""
        for group in self.groups:
            yield from group.rows

    def sources(self) -> Iterator[Source]:
        """Every source a cell leans on, in order."""
        for row in self.rows():
            for each in (row.head, *row.cells):
                for line in each.lines:
                    yield from sources_in(line)


def of_values(label: str, caption: str, values: Iterable[tuple[str, Amount]]) -> tuple[Table, ...]:
    """A table of names and numbers, without those that have none; nothing where no number is left."""
    rows = tuple(Row(cell(name), (cell(amount),)) for name, amount in values if amount.si is not None)
    return (Table(label, caption, (Column("What"), Column("Value", NUMBER)), (RowGroup(rows),)),) if rows else ()


def only(value: Cell) -> Amount | None:
    """The amount a cell begins with where that is a line of its own: what is lined up in a column of numbers."""
    first = value.lines[0] if value.lines else ()
    return first[0] if len(first) == 1 and isinstance(first[0], Amount) else None
