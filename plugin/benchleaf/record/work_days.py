"""The days a record speaks of: every piece of work that has one, and the last of them all."""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from .sections.log import ALL_TOLD
from .sections.reading_lists import day_of, is_measured

if TYPE_CHECKING:
    from .model import Record
    from .sections.log import LogEntry
    from .sections.parts import Part

_NO_WORK = re.compile(
    r"(?:it |set |the set )?(?:in(?:\Z| (?:from|for|to)\b)|out(?:\Z| to\b)|came (?:in|back)|arrived|received|bought"
    r"|collected|picked up|delivered|sent (?:off|back)"
    r"|handed (?:back|over)|returned|(?:went )?(?:back|home) (?:to|at|with)|sold|(?:tele)?phoned?\b|call(?:ed)?\b"
    r"|rang\b|e?-?mail|letter|message|paid|invoice)",
    re.I,
)
"""What an entry of the log begins with that tells of no work: how a set came and went, and what was said of it."""
PART_DAYS = ("ordered", "tested", "fitted", "checked")
"""The days that a part has, in the order in which they follow each other."""


def days_of(part: Part) -> Iterator[tuple[str, datetime.date]]:
    """Each day of a part with its word; “fitted” of one that is gone for good is the day it was removed."""
    gone = bool(part.now) and all(one.condition == "none" for one in part.now)
    for word in PART_DAYS:
        if day := getattr(part, word):
            yield ("removed" if gone and word == "fitted" else word), day


def work_days(record: Record) -> Iterator[tuple[str, str, datetime.date | None, object]]:
    """Each piece of work: its section, what was done in words, its day, and a value by which its line is found.

    Alignments are told of their days where they are looked over, in ``alignment_remarks``, and stand not here.
    """
    yield from (("log", "this work", entry.date, entry.did) for entry in record.log)
    for name, part in record.parts.items():
        yield from (("parts", f"{word} {name}", day, name) for word, day in days_of(part))
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


def sittings(record: Record) -> tuple[LogEntry, ...]:
    """The entries of the log that tell of work: those with hours, and those that tell of no coming, going or word."""
    own = (entry for entry in record.log if not _is_total(entry))
    return tuple(entry for entry in own if entry.time or not _NO_WORK.match(str(entry.did or "")))


def hours_worked(record: Record) -> float:
    """The hours of the sittings, or else those that an entry has of all the work together."""
    own = math.fsum(entry.time.si or 0.0 for entry in sittings(record) if entry.time)
    told = (said for entry in record.log if (said := ALL_TOLD.match(str(entry.did or ""))))
    return own / 3600 or max((_hours(said[0]) for said in told), default=0.0)


def _hours(said: str) -> float:
    number = re.search(r"\d[\d.,]*", said)
    return float(number[0].rstrip(".,").replace(",", ".")) if number else 0.0


def _is_total(entry: LogEntry) -> bool:
    return not entry.time and ALL_TOLD.match(str(entry.did or "")) is not None


def last_day(record: Record) -> datetime.date | None:
    """The last day the record speaks of; None where it speaks of none."""
    days = (record.came_in, record.finished, *(day for _, _, day, _ in work_days(record)))
    return max((day for day in (*days, *(each.date for each in record.alignment)) if day), default=None)
