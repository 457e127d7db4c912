"""What rectifiers drop, the peak current one plate may carry, and the largest reservoir, each with its source."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...record.model import Record
    from ...tubes import Tube
    from ..parts.findings import PartsFindings


@dataclass(frozen=True, slots=True)
class RectifierLimits:
    """``drop_volts`` at ``drop_amps`` through one plate; ``peak_amps`` a plate; ``reservoir_farads`` the largest."""

    type: str
    drop_volts: float
    drop_amps: float
    peak_amps: float
    reservoir_farads: float | None
    source: str


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


@cache
def _table() -> dict[str, RectifierLimits]:
    with (Path(__file__).parent / "rectifiers.csv").open(encoding="utf-8", newline="") as file:
        return {
            _stem(row["type"]): RectifierLimits(
                row["type"],
                float(row["drop_volts"]),
                float(row["drop_amps"]),
                float(row["peak_amps"]),
                float(row["reservoir_uf"]) * 1e-6 if row["reservoir_uf"] else None,
                row["source"],
            )
            for row in csv.DictReader(file)
        }


def limits_of(tube: Tube) -> RectifierLimits | None:
    """The table's row for a tube, under its own name, the table's, or an equivalent's; None if there is none."""
    table = _table()
    names = (tube.asked, tube.type, *(other.name for other in tube.equivalents))
    return next((table[_stem(name)] for name in names if name and _stem(name) in table), None)


def _stem(name: str) -> str:
    """A type without the letters for its bulb: 5Y3G and 5Y3GT rectify alike."""
    return re.sub(r"(?<=\d)(GT?[AB]?|GT/G|W)$", "", name.upper().replace(" ", ""))
