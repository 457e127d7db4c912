"""A record's mapping (``record.json``) from anybody's hand: whatever is asked for is of its kind, or not there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..kinds import ROWS, Kind
from ..quantities import QuantityError, read_quantity
from ..units import say

_WRITTEN = "_written"
_FIGURES = 6
"""So many figures of a value are said where it cannot be said as it was written."""

_LARGEST = 1e18
"""A number above it is no value of a set."""


@dataclass(frozen=True)
class Given:
    """One table of it. Keys are those of ``mapping.as_mapping``; what is no text, number or table there is left out."""

    table: Mapping[str, Any]

    @classmethod
    def of(cls, value: object) -> Given:
        """The table that a value is; an empty one for anything else."""
        return cls({k: v for k, v in value.items() if isinstance(k, str)} if isinstance(value, Mapping) else {})

    def text(self, key: str) -> str:
        """A text on one line; empty where there is none."""
        value = self.table.get(key)
        return _flat(value) if isinstance(value, str) else ""

    def texts(self, key: str) -> list[str]:
        """The texts of a list."""
        value = self.table.get(key)
        return [flat for v in _listed(value) if isinstance(v, str) and (flat := _flat(v))]

    def inner(self, key: str) -> Given:
        """The table under a key."""
        return Given.of(self.table.get(key))

    def listed(self, key: str) -> list[Given]:
        """The tables of a list."""
        return [Given.of(v) for v in _listed(self.table.get(key))]

    def lists(self, key: str) -> list[list[str]]:
        """The lists of texts in a list."""
        rows = [[_flat(v) for v in _listed(row) if isinstance(v, str)] for row in _listed(self.table.get(key))]
        return [[text for text in row if text] for row in rows]

    def named(self) -> Iterator[tuple[str, Given]]:
        """The tables in it by their names."""
        for key, value in self.table.items():
            if isinstance(value, Mapping) and _flat(key):
                yield _flat(key), Given.of(value)

    def quantity(self, key: str, bare: str = "") -> str:
        """A value as it was written where that says the same by itself, else said anew; empty where there is none.

        ``bare`` is the unit that a number without one has at this place.
        """
        written = self.text(f"{key}{_WRITTEN}")
        for kind, si in self._values(key):
            if written and _says(written, kind, si, bare):
                return written
        found = next(self._values(key), None)
        return "" if found is None else say(found[1], found[0].unit, digits=_FIGURES).replace("\u202f", " ")

    def quantities(self) -> dict[str, str]:
        """The values in it by the names they were written under."""
        names = [key.removesuffix(_WRITTEN) for key in self.table if key.endswith(_WRITTEN)]
        return {_flat(name): value for name in names if (value := self.quantity(name))}

    def _values(self, key: str) -> Iterator[tuple[Kind, float]]:
        """Each kind of value that a key may hold, with its number in SI; those that a unit tells come first."""
        for kind in sorted(ROWS, key=lambda row: not row.in_key):
            told = not kind.in_key or kind.in_key in key.split("_")
            value = self.table.get(key if told else f"{key}_{kind.in_key}")
            if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= _LARGEST:
                yield kind, float(value)


def _says(written: str, kind: Kind, si: float, bare: str) -> bool:
    try:
        read = read_quantity(written, kind.name, bare=bare or None)
    except (QuantityError, ValueError):
        return False
    return read.si is not None and math.isclose(read.si, si, rel_tol=1e-6, abs_tol=1e-18)


def _listed(value: object) -> Sequence[Any]:
    return value if isinstance(value, list | tuple) else ()


def _flat(text: str) -> str:
    """Text on one line, without what is no letter or sign."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
