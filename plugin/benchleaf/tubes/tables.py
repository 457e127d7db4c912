"""The package's CSV tables, read once and kept as text rows grouped by type."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from benchleaf.tubes.tube import TableSource

CsvRow = Mapping[str, str]


def read_table(name: str) -> list[dict[str, str]]:
    """All rows of one CSV file of this package, as text."""
    with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as table:
        header, *rows = csv.reader(table)
    return [dict(zip(header, row, strict=True)) for row in rows]


@cache
def columns_of(name: str) -> tuple[str, ...]:
    """The columns of one CSV file of this package, in their order."""
    with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as table:
        return tuple(next(csv.reader(table)))


@cache
def sources() -> Mapping[str, TableSource]:
    """Every source by its key."""
    return {row["key"]: TableSource(row["key"], row["title"], row["kind"]) for row in read_table("sources.csv")}


def sources_of(keys: str) -> tuple[TableSource, ...]:
    """The sources named by keys with spaces between them."""
    return tuple(sources()[key] for key in keys.split())


@cache
def type_rows() -> Mapping[str, CsvRow]:
    """`types.csv` by type."""
    return {row["type"]: row for row in read_table("types.csv")}


@cache
def name_rows() -> Mapping[str, CsvRow]:
    """`names.csv` by name."""
    return {row["name"]: row for row in read_table("names.csv")}


@cache
def role_rows() -> Mapping[str, CsvRow]:
    """`roles.csv` by role."""
    return {row["role"]: row for row in read_table("roles.csv")}


@cache
def rows_of(table: str) -> Mapping[str, list[CsvRow]]:
    """A table with several rows a type (`pins.csv`, `ratings.csv`, `typical.csv`, `names.csv`), by type."""
    grouped: dict[str, list[CsvRow]] = {}
    for row in read_table(table):
        grouped.setdefault(row["type"], []).append(row)
    return grouped
