"""Points of one or two curves as tables that lie down: what was fed in heads the columns, eight at most in one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from .amount import Origin
from .sentence import text_of
from .table import NUMBER, Column, Row, RowGroup, Table, cell

if TYPE_CHECKING:
    from .typed import Typed

Levels = Sequence[tuple["Typed", "Typed"]]
_MOST_COLUMNS = 8


def points_tables(
    label: str, caption: str, head: str, before: Levels, after: Levels, alone: str = "Read"
) -> tuple[Table, ...]:
    """The points as tables; both curves in one where they were read at the same places.

    ``head`` names what was fed in, ``alone`` the row of a curve that has no other beside it.
    """
    same = [at.text for at, _ in before] == [at.text for at, _ in after]
    if before and same:
        return tuple(_tables(label, caption, head, [("Before", before), ("After", after)]))
    if not before:
        return tuple(_tables(label, caption, head, [(alone, after)]))
    return (
        *_tables(label, f"{caption}, before", head, [("Before", before)]),
        *_tables(label, f"{caption}, after", head, [("After", after)]),
    )


def _tables(label: str, caption: str, head: str, curves: Sequence[tuple[str, Levels]]) -> Iterator[Table]:
    count = len(curves[0][1])
    size = -(-count // max(1, -(-count // _MOST_COLUMNS))) or 1
    for n, start in enumerate(range(0, count, size), 1):
        part = slice(start, start + size)
        heads = [text_of(at.as_read(Origin.STATED)) for at, _ in curves[0][1][part]]
        columns = (Column(head), *(Column(each, NUMBER, Origin.MEASURED) for each in heads))
        rows = tuple(
            Row(cell(name), tuple(cell(*level.as_read(Origin.MEASURED)) for _, level in levels[part]))
            for name, levels in curves
        )
        further = ("", "") if n == 1 else (f", {n}", ", continued")
        yield Table(label + further[0], caption + further[1], columns, (RowGroup(rows),))
