"""The tube table a record is read with: the package's own types, and those a club has added beside its records."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import cast

from benchleaf.tubes.build_tube import Rows, built, tube_of
from benchleaf.tubes.lookup import LONGEST_DESIGNATION, find, nearest, squeezed
from benchleaf.tubes.tables import CsvRow, type_rows
from benchleaf.tubes.tube import TOP_CAP, AskedAs, Maxima, TableSource, Tube

__all__ = ["PACKAGE_TABLE", "TubeTable", "table_of"]

_MEMORY = ("memory", "from memory")


@dataclass(frozen=True)
class TubeTable:
    """``added`` maps designations, as lookups compare them, to a club's own types; all others are the package's."""

    added: Mapping[str, Tube] = field(default_factory=dict)

    def find(self, designation: str) -> Tube | None:
        """The tube for a designation as written (see `lookup.find`), or None."""
        if self.added and len(designation) <= LONGEST_DESIGNATION:
            own = self.added.get(squeezed(designation))
            if own is not None:
                return replace(own, asked=designation.strip())
        found = find(designation)
        more = self.added.get(squeezed(found.type)) if found else None
        return replace(more, asked=found.asked, asked_as=found.asked_as) if found and more else found

    def nearest(self, designation: str, n: int = 3) -> list[str]:
        """Up to ``n`` designations that look most like the written one: the club's own first, then the package's."""
        wanted = squeezed(designation)[:LONGEST_DESIGNATION]
        own = [self.added[name].type for name in difflib.get_close_matches(wanted, self.added, n=n, cutoff=0.5)]
        return list(dict.fromkeys((*own, *nearest(designation, n))))[:n]


PACKAGE_TABLE = TubeTable()
"""The table of the package, with nothing added."""


def table_of(types: Iterable[CsvRow], rows: Mapping[str, Mapping[str, list[CsvRow]]]) -> TubeTable:
    """A table with a club's rows: new ``types``, and ``rows`` by file name (``pins.csv`` …) and type.

    A row has the columns of the package's file of that name, but for a source's title in place of its key. Rows for a
    type of the package's table are added to that type. Raises KeyError for rows of a type in neither.
    """
    added: dict[str, Tube] = {}
    own = {row["type"]: row for row in types}
    named: set[str] = {type_ for by_type in rows.values() for type_ in by_type}
    for type_ in dict.fromkeys((*own, *sorted(named))):
        here = Rows(
            lambda name, type_=type_: rows.get(name, {}).get(type_, []),  # type: ignore[misc]
            _sources,
        )
        tube = built(own[type_], here) if type_ in own else _more_of(tube_of(type_), built(type_rows()[type_], here))
        added[squeezed(type_)] = tube
        for row in rows.get("names.csv", {}).get(type_, []):
            added[squeezed(row["name"])] = replace(tube, asked_as=cast(AskedAs, row["relation"]))
    return TubeTable(MappingProxyType(added))


def _more_of(known: Tube, own: Tube) -> Tube:
    """A type of the package with what a club's rows add to it; what the package has stays."""
    return replace(
        known,
        sections=known.sections if known.pin_rows else own.sections,
        top_cap=known.top_cap or any(row.pin == TOP_CAP for row in own.pin_rows),
        pin_rows=known.pin_rows or own.pin_rows,
        maxima=own.maxima if known.maxima == Maxima() else known.maxima,
        other_maxima=known.other_maxima or own.other_maxima,
        typical=known.typical + own.typical,
        equivalents=known.equivalents + own.equivalents,
    )


def _sources(written: str) -> tuple[TableSource, ...]:
    """The source a club names in words."""
    title = " ".join(written.split())
    if title.casefold() in _MEMORY:
        return (TableSource("memory", "from memory", "memory"),)
    return (TableSource(title, title, "own table"),) if title else ()
