"""The dry rectifier of a set, silicon or selenium, and its drop."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...record.model import Record
    from ..parts.findings import PartsFindings

DRY_DROP_VOLTS = {"silicon": 1.0, "selenium": 5.0}
"""Forward drop of a silicon diode, and of a selenium stack for the line (from memory)."""


_DRY = re.compile(r"silicon|selenium", re.I)


@dataclass(frozen=True, slots=True)
class DryRectifier:
    """A rectifier without heater that is in the set: its part, and ``silicon`` or ``selenium``."""

    part: str
    type: str


def dry_rectifier(record: Record, parts: PartsFindings) -> DryRectifier | None:
    """The silicon or selenium rectifier in the set; None where a tube does the work.

    It is a part of that type with that job, or a tube position that was changed to one or is written as one.
    """
    for row in parts.rows():
        inside = row.in_the_set
        kind = inside.seen.type.casefold() if inside else ""
        if kind in DRY_DROP_VOLTS and "rectif" in row.piece.job.casefold():
            return DryRectifier(row.name, kind)
    changed = {str(p): str(c.now.type) for p, c in record.changed_tubes.items() if c.now}
    fitted = {str(p): str(t.type) for p, t in record.tubes.items()} | changed
    return next((DryRectifier(p, found[0].casefold()) for p, t in fitted.items() if (found := _DRY.match(t))), None)
