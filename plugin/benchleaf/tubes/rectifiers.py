"""What rectifiers drop, the peak a plate may carry, the inverse volts it stands, and the largest reservoir."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchleaf.tubes.tables import CsvRow, rows_of, sources_of
from benchleaf.tubes.tube import Rated, TableSource, Tube

__all__ = ["Drop", "RectifierFigures", "rectifier_figures"]


@dataclass(frozen=True, slots=True)
class Drop:
    """``volts`` between plate and cathode at ``amps`` through one plate, and what the source leaves open."""

    volts: float
    amps: float
    sources: tuple[TableSource, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class RectifierFigures:
    """A rectifier's figures in SI, each None where the table has none.

    ``drops`` are all that were found, the most trusted first: sheets of one type differ. ``peak_amps`` is what one
    plate may carry at most, ``inverse_volts`` the peak it stands the other way round, ``reservoir_farads`` the largest
    first capacitor. ``arc`` is true for a mercury-vapour tube, whose drop is the same at every current.
    """

    type: str
    drops: tuple[Drop, ...]
    peak_amps: Rated | None = None
    inverse_volts: Rated | None = None
    reservoir_farads: Rated | None = None
    arc: bool = False


def rectifier_figures(tube: Tube) -> RectifierFigures | None:
    """The figures of a tube's type in the table, or None where it has none."""
    rows = rows_of("rectifiers.csv").get(tube.type, [])
    if not rows:
        return None
    return RectifierFigures(
        tube.type,
        tuple(
            Drop(float(row["value"]), float(row["at_ma"]) * 1e-3, sources_of(row["source"]), row["notes"])
            for row in rows
            if row["figure"] == "drop_v"
        ),
        _rated(row for row in rows if row["figure"] == "peak_ma"),
        _rated(row for row in rows if row["figure"] == "inverse_v"),
        _rated(row for row in rows if row["figure"] == "reservoir_uf"),
        arc="mercury-vapour" in (tube.role or ""),
    )


_IN_SI = {"peak_ma": 1e-3, "inverse_v": 1.0, "reservoir_uf": 1e-6}


def _rated(rows: Iterable[CsvRow]) -> Rated | None:
    """The first row's value in SI, with the sources of all rows that give it."""
    given = list(rows)
    if not given:
        return None
    first = given[0]
    same = (source for row in given if row["value"] == first["value"] for source in sources_of(row["source"]))
    return Rated(float(first["value"]) * _IN_SI[first["figure"]], tuple(dict.fromkeys(same)))
