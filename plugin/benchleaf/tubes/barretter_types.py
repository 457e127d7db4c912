"""Barretters by type: the volts over which each holds a heater string's current."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from benchleaf.tubes.lookup import LONGEST_DESIGNATION, squeezed
from benchleaf.tubes.tables import read_table, sources
from benchleaf.tubes.tube import TableSource

__all__ = ["BarretterType", "barretter_type"]


@dataclass(frozen=True, slots=True)
class BarretterType:
    """A barretter that holds ``amps`` from ``low_volts`` to ``high_volts``, and where that was read."""

    type: str
    low_volts: float
    high_volts: float
    amps: float
    source: TableSource


def barretter_type(designation: str) -> BarretterType | None:
    """The barretter of a designation as written, or None."""
    return _types().get(squeezed(designation[:LONGEST_DESIGNATION]))


@cache
def _types() -> dict[str, BarretterType]:
    return {
        row["type"]: BarretterType(
            row["type"], float(row["low_volts"]), float(row["high_volts"]), float(row["amps"]), sources()[row["source"]]
        )
        for row in read_table("barretters.csv")
    }
