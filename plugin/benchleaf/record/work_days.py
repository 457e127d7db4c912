"""The days a record speaks of: every piece of work that has one, and the last of them all."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import TYPE_CHECKING

from .sections.list_names import day_of, is_measured

if TYPE_CHECKING:
    from .model import Record

PART_DAYS = ("ordered", "tested", "fitted", "checked")
"""The days that a part has, in the order in which they follow each other."""


def work_days(record: Record) -> Iterator[tuple[str, str, datetime.date | None, object]]:
    """Each piece of work: its section, what was done in words, its day, and a value by which its line is found.

    Alignments are told of their days where they are looked over, in ``alignment_remarks``, and stand not here.
    """
    yield from (("log", "this work", entry.date, entry.did) for entry in record.log)
    for name, part in record.parts.items():
        yield from (("parts", f"{word} {name}", getattr(part, word), name) for word in PART_DAYS)
    yield from (("changed tubes", f"the exchange of {name}", c.date, name) for name, c in record.changed_tubes.items())
    for name, run in record.readings.items():
        if is_measured(str(name), run):
            yield "readings", f"the list {name}", day_of(str(name), run), name
    yield from (("changes", f"the change {name}", change.date, name) for name, change in record.changes.items())
    yield from (("faults", "this cure", fault.date, fault.complaint) for fault in record.faults)
    yield from (("before power", "this check", check.date, None) for check in record.before_power)
    yield from (("power-up", "this power-up", session.date, None) for session in record.power_up)
    yield from (("reforming", f"reforming {name}", part.date, name) for name, part in record.reforming.items())
    fittings = record.mechanics.fittings if record.mechanics else {}
    yield from (("mechanics", f"work on the {name}", work.date, name) for name, work in fittings.items())
    for measured in record.line_side.measured if record.line_side else ():
        yield "line side", "this measurement", measured.date, measured.part


def last_day(record: Record) -> datetime.date | None:
    """The last day the record speaks of; None where it speaks of none."""
    days = (record.came_in, record.finished, *(day for _, _, day, _ in work_days(record)))
    return max((day for day in (*days, *(each.date for each in record.alignment)) if day), default=None)
