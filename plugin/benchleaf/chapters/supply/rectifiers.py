"""What rectifiers drop, the peak current one plate may carry, and the largest reservoir, each with its source."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...tubes import Tube


@dataclass(frozen=True, slots=True)
class RectifierLimits:
    """``drop_volts`` at ``drop_amps`` through one plate; ``peak_amps`` a plate; ``reservoir_farads`` the largest."""

    type: str
    drop_volts: float
    drop_amps: float
    peak_amps: float
    reservoir_farads: float | None
    source: str


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
