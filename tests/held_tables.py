"""Tables that are held in a file: a row for each name, with what each set has of it."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from pathlib import Path


def read(path: Path, head: str) -> dict[str, dict[str, str]]:
    """The table as it was written, by the column ``head``."""
    with path.open(encoding="utf-8", newline="") as file:
        return {row.pop(head): row for row in csv.DictReader(file)}


def write(path: Path, head: str, columns: Sequence[str], found: Mapping[str, Mapping[str, str]]) -> None:
    """Write the table."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, [head, *columns], lineterminator="\n")
        writer.writeheader()
        writer.writerows({head: name, **row} for name, row in found.items())


def turned(by_set: Mapping[str, Mapping[str, str]]) -> dict[str, dict[str, str]]:
    """What each set has by name as one row for each name."""
    names = sorted({name for each in by_set.values() for name in each})
    return {name: {of: each.get(name, "") for of, each in by_set.items()} for name in names}
