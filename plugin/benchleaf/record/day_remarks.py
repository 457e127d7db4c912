"""What is told of the days of a record: work outside of its time, days out of order, one hour twice. None is a problem.

A set may come back, and what was done then is no slip; a year typed wrong looks the same. So it is said and kept.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from .remarks import Remark
from .text import LineColumn, line_column_of
from .work_days import work_days

if TYPE_CHECKING:
    from .model import Record
    from .sections.log import LogEntry

_BEFORE_ARRIVAL = ("ordered", "tested")
"""What may be done to a new part while the set is still elsewhere."""
_SECONDS_OF_A_DAY = 24 * 3600.0
_DatedWork = tuple[str, str, datetime.date, LineColumn]
"""What is dated: its section, what was done in words, its day, and where that was written."""


def day_remarks(record: Record, file: str) -> list[Remark]:
    """Every remark on the days, in the order of the file."""
    found = (
        *_outside(record),
        *_out_of_order(record),
        *_overlong(record),
        *_one_hour_twice(record),
        *_backwards(record),
    )
    return sorted({Remark(file, *place, field, said) for field, place, said in found})


def _outside(record: Record) -> Iterator[tuple[str, LineColumn, str]]:
    arrived, finished = record.came_in, record.finished
    for section, what, day, place in _dated(record):
        if finished and day > finished:
            yield (
                section,
                place,
                (
                    f"{day.isoformat()} is after “finished”, {finished.isoformat()}: {what} is kept as done later; "
                    "if it is not, check both dates"
                ),
            )
        elif arrived and day < arrived and not what.startswith(_BEFORE_ARRIVAL):
            yield (
                section,
                place,
                (
                    f"{day.isoformat()} is before “came in”, {arrived.isoformat()}: {what} is kept as done before; "
                    "if it was not, check both dates"
                ),
            )


def _dated(record: Record) -> Iterator[_DatedWork]:
    for section, what, day, at in work_days(record):
        if day is not None:
            yield section, what, day, line_column_of(day) or line_column_of(at) or (1, 1)


def _out_of_order(record: Record) -> Iterator[tuple[str, LineColumn, str]]:
    """The first day of the log that stands behind a later one, where the others run one way."""
    days = [entry.date for entry in record.log if entry.date]
    falls = [(first, second) for first, second in pairwise(days) if second < first]
    rises = [(first, second) for first, second in pairwise(days) if second > first]
    if len(falls) != 1 or len(rises) < 2:
        return
    first, second = falls[0]
    place = line_column_of(second)
    if place:
        yield "log", place, f"{second.isoformat()} stands behind {first.isoformat()}: days are told in their order"


def _overlong(record: Record) -> Iterator[tuple[str, LineColumn, str]]:
    for entry in record.log:
        seconds = entry.time.si if entry.time else None
        if entry.time and entry.date and seconds is not None and seconds > _SECONDS_OF_A_DAY:
            said = (
                f"“{entry.time.written}” on one day, {entry.date.isoformat()}: a day has 24 h; it is counted as written"
            )
            yield "log", line_column_of(entry.time) or (1, 1), said


def _one_hour_twice(record: Record) -> Iterator[tuple[str, LineColumn, str]]:
    """Two lines of one person at one hour, and one line typed twice."""
    of_day: dict[tuple[object, str], list[LogEntry]] = {}
    for entry in record.log:
        if entry.date is None:
            continue
        others = of_day.setdefault((entry.date, str(entry.by or "")), [])
        same = next((one for one in others if _is_same(entry, one)), None)
        beside = next((one for one in others if _overlap(entry, one)), None)
        if same is not None:
            yield "log", _place(entry), f"the same as line {_place(same)[0]}: both are kept, and both count"
        elif beside is not None:
            said = f"{entry.clock} overlaps {beside.clock} of line {_place(beside)[0]}: both count"
            yield "log", _place(entry), said
        others.append(entry)


def _backwards(record: Record) -> Iterator[tuple[str, LineColumn, str]]:
    """A reforming whose time runs backwards."""
    for name, part in record.reforming.items():
        times = [entry.after for entry in part.log if entry.after and entry.after.si is not None]
        for first, second in pairwise(times):
            if second.si is not None and first.si is not None and second.si < first.si:
                said = f"“{second.written}” stands behind “{first.written}”: kept in the order written"
                yield f"reforming.{name}", line_column_of(second) or (1, 1), said


def _place(entry: LogEntry) -> LineColumn:
    places = map(line_column_of, (entry.date, entry.did, entry.time))
    return next((place for place in places if place), (1, 1))


def _seconds(entry: LogEntry) -> float | None:
    return entry.time.si if entry.time else None


def _is_same(entry: LogEntry, other: LogEntry) -> bool:
    return bool(entry.did) and entry.did == other.did and _seconds(entry) == _seconds(other)


def _overlap(entry: LogEntry, other: LogEntry) -> bool:
    one, two = _span(entry), _span(other)
    return one is not None and two is not None and one[0] < two[1] and two[0] < one[1]


def _span(entry: LogEntry) -> tuple[int, int] | None:
    """Beginning and end in minutes of the day; past midnight where it ends first."""
    if not entry.clock:
        return None
    ends = (end.split(":") for end in str(entry.clock).split("-"))
    first, last = (60 * int(hour) + int(minute) for hour, minute in ends)
    return first, last if last > first else last + 24 * 60
