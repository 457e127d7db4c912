"""How the line side was wired on a day: as before the work until its first new part was in."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.in_place import When


def is_before_work(circuit: Circuit, when: When | None) -> bool:
    """Whether a day lies before the first part that was fitted on the line side; in the set, where none there is dated.

    Of what has no date nothing is known: it counts as after the work.
    """
    there = [one.fitted for parts in circuit.on_line_side.values() for one in parts if one.fitted]
    first = min(there or (one.fitted for one in circuit.components if one.fitted), default=None)
    return isinstance(when, datetime.date) and first is not None and when < first
