"""All sets of an archive as three tables, one row a set, a part, a reading, each naming its set; and as a database."""

from __future__ import annotations

import datetime
import re
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..chapters.parts.parts_list import HEADINGS, CellValue, part_rows, values_csv

if TYPE_CHECKING:
    from ..chapters.examine import Examined

TABLES = ("sets", "parts", "readings")
_OF_RECORD = {
    "maker": "maker",
    "model": "model",
    "called": "called",
    "member": "member",
    "year": "year",
    "chassis number": "chassis_number",
    "by": "by",
    "state": "state",
    "came in": "came_in",
    "finished": "finished",
    "power": "power",
    "chassis": "chassis",
    "cabinet": "cabinet",
    "summary": "summary",
}
_OF_SETS = (
    "set",
    *_OF_RECORD,
    "line (V)",
    "line (Hz)",
    "IF (Hz)",
    "tubes",
    "complaint",
    "cause",
    "lines not understood",
    "draft",
)
_OF_READING = {
    "run": "run",
    "tube": "tube",
    "electrode": "electrode",
    "pin": "pin",
    "current": "current",
    "measured (V)": "measured_volts",
    "measured as written": "measured_written",
    "expected (V)": "expected_volts",
    "expected here (V)": "adjusted_volts",
    "deviation": "deviation",
    "tolerance": "tolerance",
    "verdict": "verdict",
    "source": "source",
}
_COLUMNS: Mapping[str, tuple[str, ...]] = {
    "sets": _OF_SETS,
    "parts": ("set", *HEADINGS),
    "readings": ("set", *_OF_READING),
}
_SAID = {"sets": "Every set", "parts": "Every part of every set", "readings": "Every reading of every set"}


@dataclass
class WholeArchive:
    """The rows of each table. A set that could not be read has its row among the sets, with nothing but its name."""

    rows: dict[str, list[tuple[CellValue, ...]]] = field(default_factory=lambda: {name: [] for name in TABLES})

    def add(
        self, name: str, examined: Examined | None, data: Mapping[str, Any], not_understood: int, *, draft: bool = False
    ) -> None:
        """One set by the name of its folder; ``data`` is that of its record.json, empty where nothing could be read.

        ``draft`` is one that its site keeps back.
        """
        self.rows["sets"].append((name, *_of_set(data.get("record", {})), not_understood, "yes" if draft else ""))
        if examined is None:
            return
        listed = part_rows(examined.record, examined.findings["parts"], examined.bench.words)
        self.rows["parts"] += [(name, *row) for row in listed]
        self.rows["readings"] += [(name, *row) for row in _readings(data["findings"].get("readings") or {})]

    def as_csv(self, table: str) -> str:
        """One of the tables, headings first; formulas in text are made harmless."""
        return values_csv(_SAID[table], _COLUMNS[table], self.rows[table])

    def write_database(self, file: Path) -> None:
        """All three as tables of a new SQLite ``file``: numbers as numbers of nine figures, days as ``2026-03-01``."""
        with sqlite3.connect(file) as database:
            for table in TABLES:
                names = column_names(_COLUMNS[table])
                own = [f'"{name}"' for name in names]
                own[0] += " TEXT PRIMARY KEY" if table == "sets" else ' TEXT NOT NULL REFERENCES "sets" ("set")'
                database.execute(f'CREATE TABLE "{table}" ({", ".join(own)})')
                marks = ", ".join("?" * len(names))
                database.executemany(
                    f'INSERT INTO "{table}" VALUES ({marks})', (tuple(map(_stored, row)) for row in self.rows[table])
                )
                if table != "sets":
                    database.execute(f'CREATE INDEX "{table}_by_set" ON "{table}" ("set")')
        database.close()


def column_names(headings: Iterable[str]) -> list[str]:
    """Headings as names of columns, the unit in the name: ``found rating (V)`` is ``found_rating_v``."""
    return [re.sub(r"\W+", "_", heading.replace("%", "percent")).strip("_").casefold() for heading in headings]


def _stored(value: CellValue) -> str | float | None:
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, float):
        return float(f"{value:.9g}")
    return None if value == "" else value


def _of_set(record: Mapping[str, Any]) -> Iterator[CellValue]:
    yield from (record.get(key) for key in _OF_RECORD.values())
    line = record.get("line") or {}
    yield from (line.get("volts"), line.get("frequency_hertz"), record.get("IF_hertz"))
    yield " ".join(str(tube.get("type", "")) for tube in (record.get("tubes") or {}).values())
    first: Mapping[str, Any] = next(iter(record.get("faults") or ()), {})
    yield from (first.get("complaint"), first.get("cause"))


def _readings(findings: Mapping[str, Any]) -> Iterator[tuple[CellValue, ...]]:
    for row in findings.get("rows", ()):
        yield tuple(row.get(key) for key in _OF_READING.values())
