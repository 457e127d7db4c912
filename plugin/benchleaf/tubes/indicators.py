"""Tuning indicators by type: the target's volts and current, the resistor of the plate, and the grid that closes."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from benchleaf.tubes.tables import read_table, sources
from benchleaf.tubes.tube import TableSource

__all__ = ["Indicator", "indicator"]


@dataclass(frozen=True, slots=True)
class Indicator:
    """A type as its data has it: at ``target_volts`` and with ``load_ohms`` the eye is closed at ``closed_volts``.

    ``second_closed_volts`` is that of the less sensitive of two ranges, None where there is one; ``target_amps`` None
    where it is not known.
    """

    type: str
    target_volts: float
    load_ohms: float
    target_amps: float | None
    closed_volts: float
    second_closed_volts: float | None
    source: TableSource


def indicator(type_: str) -> Indicator | None:
    """The figures of a type of the tube table; None where there are none."""
    return _types().get(type_)


@cache
def _types() -> dict[str, Indicator]:
    return {
        row["type"]: Indicator(
            row["type"],
            float(row["target_v"]),
            float(row["load_ohms"]),
            float(row["target_ma"]) * 1e-3 if row["target_ma"] else None,
            float(row["closed_v"]),
            float(row["second_closed_v"]) if row["second_closed_v"] else None,
            sources()[row["source"]],
        )
        for row in read_table("indicators.csv")
    }
