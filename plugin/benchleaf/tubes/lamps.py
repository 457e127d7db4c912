"""Dial lamps by number, or by volts and amperes as European sets give them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from benchleaf.tubes.tables import read_table, sources
from benchleaf.tubes.tube import Lamp

_DESCRIBED = re.compile(r"(?:\d+(?:[.,]\d+)?-)?(\d+(?:[.,]\d+)?)V(\d+(?:[.,]\d+)?)(M?)A", re.IGNORECASE)
_LONGEST = 40


def _squeezed(written: str) -> str:
    text = re.sub(r"[\s#]+", "", written.upper())
    return text.removeprefix("NO.").removeprefix("LAMP")


@cache
def lamps() -> Mapping[str, Lamp]:
    """Every lamp of `lamps.csv` by its number, or by its volts and amperes where it has none."""
    return {
        row["lamp"]: Lamp(
            number=row["lamp"],
            volts=float(row["volts"]),
            amps=float(row["amps"]),
            bead=row["bead"] or None,
            base=row["base"] or None,
            source=sources()[row["source"]],
            bead_source=sources()[row["bead_source"]] if row["bead_source"] else None,
            notes=row["notes"],
        )
        for row in read_table("lamps.csv")
    }


def lamp(number: str) -> Lamp | None:
    """The lamp of a number (`47`, `#47`), or of volts and amperes (`6.3 V 0.3 A`, `19 V 100 mA`); else None."""
    if len(number) > _LONGEST:
        return None
    squeezed = _squeezed(number)
    for known in lamps().values():
        if _squeezed(known.number) == squeezed:
            return known
    return _described_lamp(squeezed)


def is_lamp_number(number: str) -> bool:
    """Whether lamps of the table are called by this number."""
    return any(_squeezed(known.number) == _squeezed(number) for known in lamps().values())


def _described_lamp(squeezed: str) -> Lamp | None:
    """A table's lamp without a number that has the written volts and amperes."""
    described = _DESCRIBED.fullmatch(squeezed)
    if described is None:
        return None
    volts = float(described[1].replace(",", "."))
    amps = float(described[2].replace(",", ".")) * (1e-3 if described[3] else 1.0)
    for known in lamps().values():
        same = abs(known.volts - volts) < 1e-9 and abs(known.amps - amps) < 1e-9
        if same and not known.number.isalnum():
            return known
    return None
