"""The days of the work: each sitting of the log with what the rest of the record has of its day."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol, TypeVar

from ...record.work_days import days_of
from ..power_up.findings import NOT_MEASURED
from .findings import Events, LoggedDay, Sitting

if TYPE_CHECKING:
    from ...record.model import Record
    from ..alignment.findings import AlignmentFindings
    from ..changes.findings import ChangesFindings
    from ..faults.findings import FaultsFindings
    from ..line_side.measured import MeasuredInsulation, MeasuredTouch
    from ..line_up.findings import LineUpFindings
    from ..power_up.findings import PowerUpFindings
    from ..readings.findings import RunFindings

_HANDLED = ("ordered", "tested", "checked")
"""What is told of a part's days beside its fitting."""
DayOfWork = datetime.date | None


class _Dated(Protocol):
    @property
    def date(self) -> str | DayOfWork: ...


Told = TypeVar("Told", bound=_Dated)


@dataclass(frozen=True, slots=True)
class WhatWasDone:
    """What other chapters have of the work, each None where the record says nothing on it."""

    line_up: LineUpFindings | None = None
    changes: ChangesFindings | None = None
    faults: FaultsFindings | None = None
    power_up: PowerUpFindings | None = None
    alignment: AlignmentFindings | None = None


def days(
    sittings: Iterable[Sitting],
    record: Record,
    done: WhatWasDone,
    *,
    runs: Iterable[RunFindings] = (),
    touched: Iterable[MeasuredTouch] = (),
    insulated: Iterable[MeasuredInsulation] = (),
) -> tuple[LoggedDay, ...]:
    """All days in order. Parts that were fitted and faults that were cured count on a day that the record gives."""
    sat: dict[DayOfWork, list[Sitting]] = {}
    for sitting in sittings:
        sat.setdefault(_day(sitting.date), []).append(sitting)
    trails = done.faults.trails if done.faults else ()
    fitted, removed = (_parts_by_day(record, word) for word in ("fitted", "removed"))
    cured = _by_day(trail for trail in trails if trail.cured and trail.date)
    exchanged = _by_day(done.line_up.changed if done.line_up else ())
    added = _by_day(done.changes.changes if done.changes else ())
    raised = _by_day(done.power_up.sessions if done.power_up else ())
    reformed = _by_day(done.power_up.reforming if done.power_up else ())
    aligned = _by_day(done.alignment.sessions if done.alignment else ())
    cold = done.power_up.before_power if done.power_up else ()
    checked = _by_day(check for check in cold if check.verdict != NOT_MEASURED)
    read, touch, insulation = _dated(runs), _dated(touched), _dated(insulated)
    handled = {word: _parts_by_day(record, word) for word in _HANDLED}
    ends = {day for day in (record.came_in, record.finished) if day}
    every: tuple[Mapping[DayOfWork, object], ...] = (
        sat, fitted, removed, exchanged, added, cured, checked, raised, reformed, aligned, read, touch, insulation,
        *handled.values(),
    )  # fmt: skip
    found: list[LoggedDay] = []
    for date in _in_order({*ends, *(date for each in every for date in each)}):
        checked_as_fitted = set(fitted.get(date, ()))
        handled_then = ((word, of.get(date, ())) for word, of in handled.items())
        events = Events(
            tuple(fitted.get(date, ())),
            cured.get(date, ()),
            exchanged.get(date, ()),
            added.get(date, ()),
            checked.get(date, ()),
            raised.get(date, ()),
            reformed.get(date, ()),
            aligned.get(date, ()),
            read.get(date, ()),
            touch.get(date, ()),
            insulation.get(date, ()),
            tuple((word, left) for word, of in handled_then if (left := _without(of, checked_as_fitted))),
            removed=tuple(removed.get(date, ())),
            arrived=date is not None and date == record.came_in,
            finished=date is not None and date == record.finished,
        )
        found += _of_day(date, sat.get(date, []), events)
    return tuple(found)


def _parts_by_day(record: Record, word: str) -> dict[DayOfWork, tuple[str, ...]]:
    """The parts by the day they were fitted, checked …; those that say no day are left out."""
    found: dict[DayOfWork, list[str]] = {}
    for name, part in record.parts.items():
        for said, day in days_of(part):
            if said == word:
                found.setdefault(day, []).append(str(name))
    return {day: tuple(names) for day, names in found.items()}


def _without(names: Iterable[str], known: set[str]) -> tuple[str, ...]:
    return tuple(name for name in names if name not in known)


def _dated(told: Iterable[Told]) -> dict[DayOfWork, tuple[Told, ...]]:
    """What has a day, by it; what has none stands in its own chapter only."""
    return {day: of_day for day, of_day in _by_day(told).items() if day is not None}


def _in_order(dates: Iterable[DayOfWork]) -> list[DayOfWork]:
    return sorted(dates, key=lambda date: (date is None, date or datetime.date.min))


def _of_day(date: DayOfWork, sittings: list[Sitting], events: Events) -> Iterator[LoggedDay]:
    """A day's sittings, the last with its events: they were by its evening. What has no date is no sitting's."""
    if date is None or not sittings:
        yield from (LoggedDay(date, sitting) for sitting in sittings)
        if events != Events():
            yield LoggedDay(date, None, events)
        return
    for place, sitting in enumerate(sittings, 1):
        yield LoggedDay(date, sitting, events if place == len(sittings) else Events(), first=place == 1)


def _by_day(told: Iterable[Told]) -> dict[DayOfWork, tuple[Told, ...]]:
    found: dict[DayOfWork, list[Told]] = {}
    for one in told:
        found.setdefault(_day(one.date), []).append(one)
    return {date: tuple(of_day) for date, of_day in found.items()}


def _day(date: str | DayOfWork) -> DayOfWork:
    """A day as findings have it."""
    if isinstance(date, str):
        return datetime.date.fromisoformat(date) if date else None
    return date
