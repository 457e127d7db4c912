"""What a record names must be there: tubes, electrodes, parts, photos, other records. Each slip is a Problem.

A condition of the set (wrong tube, positive grid) is never a Problem; a name that leads nowhere is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.problems import Problem, quoted
from ..record.unknown import noun
from . import files, heaters, parts, places, tubes
from .slips import Slips

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube


@dataclass(frozen=True)
class References:
    """What the record's names lead to, and the ones that lead nowhere.

    ``record`` is the record with the readings of its spreadsheets put in. ``tubes`` are by position, ``photos`` by the
    path as written, ``neighbours`` (other sets' records) and ``tables`` (spreadsheets) by their name in the record.
    """

    record: Record
    tubes: Mapping[str, Tube]
    photos: Mapping[str, Path]
    neighbours: Mapping[str, Path]
    tables: Mapping[str, Path]
    problems: tuple[Problem, ...]


def follow(record: Record, folder: Path, file: str) -> References:
    """Look up every name in the record. ``file`` is the name its problems carry; ``folder`` is the set's own."""
    slips = Slips(file)
    record, tables = files.with_tables(record, folder, slips)
    fitted = tubes.fitted(record, slips)
    tubes.look_over_changes(record, slips)
    heaters.look_over(record, slips)
    places.look_over(record, fitted, slips)
    parts.look_over(record, slips)
    _look_over_dates(record, slips)
    _look_over_line(record, slips)
    for problems in _chapters_own(record):
        slips.add_problems(problems(record, file))
    photos = dict(files.photos(record, folder, slips))
    neighbours = dict(files.neighbours(record, folder, slips))
    return References(record, fitted, photos, neighbours, tables, slips.problems())


def _look_over_dates(record: Record, slips: Slips) -> None:
    if record.came_in and record.finished and record.finished < record.came_in:
        expected = f"a day not before it came in, {record.came_in}"
        slips.add(record.finished, "finished", str(record.finished), expected, "check both dates")


def _look_over_line(record: Record, slips: Slips) -> None:
    """The line's volts and frequency, and the IF, are above zero."""
    line = record.line
    values = {"IF": record.IF}
    if line:
        values |= {f"line.{key}": getattr(line, key) for key in ("volts", "frequency", "low", "high")}
    for field, value in values.items():
        if value and value.si is not None and value.si <= 0:
            slips.add(value, field, quoted(value.written), f"{noun(value.kind)} above zero")


def _chapters_own(record: Record) -> Iterator[Callable[[Record, str], list[Problem]]]:
    """The checks of the chapters the record has something for; each looks for what contradicts itself there."""
    for folder, section in (
        ("heaters", record.heaters),
        ("readings", record.readings),
        ("line_side", record.line_side),
        ("parts", record.parts),
    ):
        if section:
            yield import_module(f"benchleaf.chapters.{folder}.check").problems
