"""The days of the work: each sitting of the log with what the rest of the record has of its day."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Protocol, TypeVar

from ..power_up.findings import NOT_MEASURED
from .findings import Events, LoggedDay, Sitting

if TYPE_CHECKING:
    from ...record.model import Record
    from ..alignment.findings import AlignmentFindings
    from ..changes.findings import ChangesFindings
    from ..faults.findings import FaultsFindings
    from ..line_up.findings import LineUpFindings
    from ..power_up.findings import PowerUpFindings

DayOfWork = datetime.date | None


class _Dated(Protocol):
    @property
    def date(self) -> str | DayOfWork: ...


Told = TypeVar("Told", bound=_Dated)


def days(
    sittings: Iterable[Sitting],
    record: Record,
    line_up: LineUpFindings | None,
    changes: ChangesFindings | None,
    faults: FaultsFindings | None,
    power_up: PowerUpFindings | None,
    alignment: AlignmentFindings | None,
) -> tuple[LoggedDay, ...]:
    """All days in order. Parts that were fitted and faults that were cured count on a day that the record gives."""
    sat: dict[DayOfWork, list[Sitting]] = {}
    for sitting in sittings:
        sat.setdefault(_day(sitting.date), []).append(sitting)
    fitted: dict[DayOfWork, list[str]] = {}
    for name, part in record.parts.items():
        fitted.setdefault(part.fitted, []).append(str(name))
    exchanged = _by_day(line_up.changed if line_up else ())
    added = _by_day(changes.changes if changes else ())
    cured = _by_day(trail for trail in (faults.trails if faults else ()) if trail.cured and trail.date)
    cold = power_up.before_power if power_up else ()
    checked = _by_day(check for check in cold if check.verdict != NOT_MEASURED)
    raised = _by_day(power_up.sessions if power_up else ())
    reformed = _by_day(power_up.reforming if power_up else ())
    aligned = _by_day(alignment.sessions if alignment else ())
    fitted.pop(None, None)
    every: tuple[Mapping[DayOfWork, object], ...] = (
        *(sat, fitted, exchanged, added, cured, checked),
        *(raised, reformed, aligned),
    )
    found: list[LoggedDay] = []
    for date in _in_order({date for each in every for date in each}):
        events = Events(
            tuple(fitted.get(date, ())),
            cured.get(date, ()),
            exchanged.get(date, ()),
            added.get(date, ()),
            checked.get(date, ()),
            raised.get(date, ()),
            reformed.get(date, ()),
            aligned.get(date, ()),
        )
        found += _of_day(date, sat.get(date, []), events)
    return tuple(found)


def _in_order(dates: Iterable[DayOfWork]) -> list[DayOfWork]:
    return sorted(dates, key=lambda date: (date is None, date or datetime.date.min))


def _of_day(date: DayOfWork, sittings: list[Sitting], events: Events) -> Iterator[LoggedDay]:
    """A day's sittings, the first with its events; what has no date is no sitting's."""
    if date is None or not sittings:
        yield from (LoggedDay(date, sitting) for sitting in sittings)
        if events != Events():
            yield LoggedDay(date, None, events)
        return
    for place, sitting in enumerate(sittings):
        yield LoggedDay(date, sitting, events if place == 0 else Events())


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
