"""What of a power-up does not go with the rest of the record: told beside it, and nothing is left out for it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...record.problems import one_of

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.power_up import PowerUp, PowerUpStep, Reforming
    from ..bench import Bench

_CLOCK = re.compile(r"(?P<hours>\d{1,2})[:h](?P<minutes>\d{2})\s?(?P<half>[ap])?", re.I)
_VOLTS = re.compile(r"\d\s?V\b")
_MOST_PARTS = 6


def doubts_of(session: PowerUp, bench: Bench) -> tuple[str, ...]:
    """Steps that tell nothing, clocks that run backwards, and a day before the work that the session rests on."""
    return (*_empty(session, bench), *_backwards(session), *_too_early(session, bench))


def _empty(session: PowerUp, bench: Bench) -> Iterator[str]:
    """Of a set that no line feeds the volts of a step may be a battery's, among what was read."""
    from_line = bench.circuit.mains.from_line
    for number, step in enumerate(session.steps, 1):
        if step.amps is None and step.read is None and step.note is None:
            yield f"Step {number} says neither a current nor what else was read: there is nothing to hold it against."
        elif step.line is None and step.amps is not None and (from_line or not _VOLTS.search(str(step.read or ""))):
            yield f"Step {number} has a current and no volts that it was read at: it is not judged."


def _backwards(session: PowerUp) -> Iterator[str]:
    """Within one day. A session over midnight is two."""
    clocked = [(n, step, minutes) for n, step in enumerate(session.steps, 1) if (minutes := _minutes(step)) is not None]
    for (first, before, one), (number, step, other) in pairwise(clocked):
        if other < one:
            yield (
                f"Step {number} is clocked {step.clock}, before step {first} ({before.clock}): "
                "one of the two is wrong, or a day is missing."
            )


def _minutes(step: PowerUpStep) -> int | None:
    found = _CLOCK.match(step.clock.removeprefix("at ").strip()) if step.clock else None
    if found is None:
        return None
    hours = int(found["hours"])
    if found["half"]:
        hours = hours % 12 + (12 if found["half"] in "pP" else 0)
    return hours * 60 + int(found["minutes"])


def _too_early(session: PowerUp, bench: Bench) -> Iterator[str]:
    """What is dated after the session though a first power rests on it."""
    day, record = session.date, bench.record
    if day is None:
        return
    if record.came_in and day < record.came_in:
        yield f"It is dated before the set came in ({record.came_in.isoformat()})."
    later = [
        one.name
        for one in bench.circuit.components
        if one.fitted and one.fitted > day and one.piece.was and in_place(one, "before").is_there
    ]
    if later:
        more = f" and {len(later) - _MOST_PARTS} more" if len(later) > _MOST_PARTS else ""
        were = "was" if len(later) == 1 else "were"
        yield f"The old {one_of(later[:_MOST_PARTS], 'and')}{more} {were} still in: what is new was fitted later."
    yield from _before_checks(session, record)


def _before_checks(session: PowerUp, record: Record) -> Iterator[str]:
    day = session.date
    cold = [reading.date for reading in record.before_power if reading.date]
    if cold and day and min(cold) > day and session is record.power_up[0]:
        yield f"The first cold check is dated after it ({min(cold).isoformat()})."
    later = [str(name) for name, part in record.reforming.items() if day and part.date and part.date > day]
    if later:
        yield f"{one_of(later, 'and')} {'was' if len(later) == 1 else 'were'} reformed after it, by the dates."


def of_reforming(part: Reforming) -> tuple[str, ...]:
    """Readings of a reforming whose times run backwards."""
    times = [(entry.after.si, entry.after.written) for entry in part.log if entry.after and entry.after.si is not None]
    return tuple(
        f"{later} stands behind {earlier}: one of the two times is wrong."
        for (one, earlier), (other, later) in pairwise(times)
        if other < one
    )
