"""How the line side was wired on a day: as before the work until its first new part was in."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from ...record.sections.reading_lists import day_of, is_as_found

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.in_place import When


def is_before_work(circuit: Circuit, when: When | None) -> bool:
    """Whether a day lies before the first part that was fitted on the line side; in the set, where none there is dated.

    Where no part of the set has a day it lies before the work if a list of readings as found is as old or younger. Of
    what has no date nothing is known: it counts as after the work.
    """
    if not isinstance(when, datetime.date):
        return False
    there = [one.fitted for parts in circuit.on_line_side.values() for one in parts if one.fitted]
    first = min(there or (one.fitted for one in circuit.components if one.fitted), default=None)
    if first is not None:
        return when < first
    lists = circuit.record.readings.items()
    found = [day for name, run in lists if is_as_found(str(name)) and (day := day_of(str(name), run))]
    return bool(found) and when <= max(found)
