"""The sentences about parts that deserve the top of the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...findings import DANGER, FAULT, NOTE, Standout
from ...record.units import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from ...bench import Bench
    from .findings import PartFindings, PartsFindings

_MANY = 4


def standouts(findings: PartsFindings, bench: Bench) -> list[Standout]:
    """What is wrong with parts, worst first: what is in the set before what was, the larger error before the smaller."""
    rows = findings.rows()
    found: list[Standout] = []
    found += _each(rows, _class_missing, bench)
    found += _each(rows, _reversed, bench)
    found += _each(sorted(rows, key=_grid_volts, reverse=True), _leaky, bench)
    found += _each(rows, _under_rated, bench)
    found += _each(sorted(rows, key=_drift, reverse=True), _drifted, bench)
    found += _each(rows, _new_out_of_tolerance, bench)
    found += _each(rows, _lower_rating, bench)
    found += list(_polarity_missing(rows))
    found += list(_open(findings))
    return sorted(found, key=lambda s: -s.severity)


def _each(rows: object, say_of: object, bench: Bench) -> list[Standout]:
    return [s for row in rows if (s := say_of(row, bench))]  # type: ignore[operator,attr-defined]


def _class_missing(row: PartFindings, bench: Bench) -> Standout | None:
    if row.class_enough is not False or not row.new_is_fitted or not row.piece.ends:
        return None
    where = " and ".join(row.piece.ends)
    wanted = "class Y" if row.class_needed == "Y" else "class X or Y"
    has = f"is class {row.safety_class}" if row.safety_class else "has no class written"
    return Standout(DANGER, f"{row.name} between {where} {has}; this place needs {wanted}", row.anchor)
