"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from ...record.work_days import sittings as work_sittings
from ...report.anchors import part_anchor, tube_anchor, with_links
from ...report.typed import typed
from ..bench import Bench
from .days import WhatWasDone, days
from .findings import LogFindings, LoggedDay, Sitting
from .kinds_of_work import hours_by_kind, kind_of

if TYPE_CHECKING:
    from ..alignment.findings import AlignmentFindings
    from ..changes.findings import ChangesFindings
    from ..faults.findings import FaultsFindings
    from ..line_side.findings import LineSideFindings
    from ..line_up.findings import LineUpFindings
    from ..power_up.findings import PowerUpFindings
    from ..readings.findings import ReadingsFindings


def examine(
    bench: Bench,
    line_up: LineUpFindings | None = None,
    changes: ChangesFindings | None = None,
    faults: FaultsFindings | None = None,
    power_up: PowerUpFindings | None = None,
    alignment: AlignmentFindings | None = None,
    readings: ReadingsFindings | None = None,
    line_side: LineSideFindings | None = None,
) -> LogFindings | None:
    """The log, and at each of its days what the other chapters have of it.

    Without a log the days stand by what the rest of the record dates; None where that is fewer than two days of work.
    """
    record = bench.record
    every_day = partial(
        days,
        record=record,
        done=WhatWasDone(line_up, changes, faults, power_up, alignment),
        runs=readings.runs if readings else (),
        touched=line_side.measured if line_side else (),
        insulated=line_side.insulation if line_side else (),
    )
    if not record.log:
        worked = tuple(day for day in every_day(()) if day.date is not None)
        return _without_log(worked) if sum(day.events.of_work for day in worked) >= 2 else None
    anchors = {str(n): tube_anchor(n) for n in record.tubes} | {str(n): part_anchor(n) for n in record.parts}
    sittings = tuple(
        Sitting(
            date=entry.date.isoformat() if entry.date else "",
            seconds=entry.time.si if entry.time else None,
            by=str(entry.by or ""),
            did=str(entry.did or ""),
            kind=kind_of(str(entry.did or "")),
            clock=str(entry.clock or ""),
            time=typed(entry.time),
            linked=with_links(str(entry.did or ""), anchors),
        )
        for entry in record.log
    )
    of_work = {id(entry) for entry in work_sittings(record)}
    at_work = [sitting for sitting, entry in zip(sittings, record.log, strict=True) if id(entry) in of_work]
    dated = sorted(s.date for s in sittings if s.date)
    return LogFindings(
        sittings=sittings,
        total_seconds=sum(s.seconds or 0.0 for s in sittings),
        without_time=sum(sitting.seconds is None for sitting in at_work),
        first=dated[0] if dated else "",
        last=dated[-1] if dated else "",
        by_kind=hours_by_kind(at_work),
        days=every_day(sittings),
        worked=len(at_work),
    )


def _without_log(worked: tuple[LoggedDay, ...]) -> LogFindings:
    """The days of the work as the rest of the record dates them."""
    dates = [day.date.isoformat() for day in worked if day.date and day.events.of_work]
    return LogFindings((), 0.0, 0, dates[0], dates[-1], days=worked)
