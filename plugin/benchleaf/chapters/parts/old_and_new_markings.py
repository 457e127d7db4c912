"""Markings: what was read on an old part, and what a new one of the wanted value wears."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from ...electrics.markings import read_marking
from ...electrics.markings_of import bands_of, body_end_dot_of, digits_of, mica_dots_of, rkm_of
from .findings import ReadMarking, WornMarking

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ...circuit.pieces import Seen
    from .findings import PartFindings


_AGREES = 0.02
_NAMED = re.compile(r"([CR])\d", re.I)
_UNITS = {"C": "F", "R": "ohm"}


def read_markings(rows: Iterable[PartFindings]) -> tuple[ReadMarking, ...]:
    """Every marking that the record gives."""
    found = []
    for row in rows:
        for which, seen in (("sheet", row.piece.sheet), ("found", row.piece.was), ("new", row.piece.now)):
            if seen and seen.marked:
                found.append(_read(row, which, seen))
    return tuple(found)


def _read(row: PartFindings, which: str, seen: Seen) -> ReadMarking:
    try:
        readings = read_marking(seen.marked)
    except ValueError:
        readings = ()
    unit = seen.unit or {"capacitor": "F", "resistor": "ohm"}.get(row.kind, "")
    named = _NAMED.match(row.part) if not unit and not row.kind else None
    named_unit = _UNITS[named[1].upper()] if named else ""
    fitting = tuple(r for r in readings if r.unit == (unit or named_unit or r.unit))
    if named and not fitting:
        # A name is a habit, not a value: a marking of the other kind is shown rather than called unknown.
        fitting = readings
    agrees = None
    if seen.value and fitting:
        agrees = any(abs(r.value / seen.value - 1) <= _AGREES for r in fitting if r.value)
    return ReadMarking(seen.marked, fitting, agrees, row.name, which, row.anchor)


def worn_markings(rows: Iterable[PartFindings]) -> tuple[WornMarking, ...]:
    """The markings of each value that is new or still to be got, equal values together, capacitors first."""
    groups: dict[tuple[str, float, float | None, bool], list[str]] = {}
    for row in rows:
        seen = row.piece.now or (row.piece.was if row.state in ("to do", "reform") else None)
        if seen is None or not seen.value or seen.unit not in ("F", "ohm") or seen.value < 0:
            continue
        made = row.substitute.values if row.substitute and row.piece.now is None else ()
        values = made or (seen.value,)
        band = seen.tolerance
        tolerance = round(band.high, 6) if band and abs(band.low + band.high) < 1e-9 else None
        mica = "mica" in seen.type.casefold()
        for value in dict.fromkeys(values):
            groups.setdefault((seen.unit, value, tolerance, mica), []).append(row.name)
    return tuple(_worn(*key, tuple(names)) for key, names in sorted(groups.items(), key=_order))


def _order(entry: tuple[tuple[str, float, float | None, bool], list[str]]) -> tuple[str, float, float, bool]:
    (unit, value, tolerance, mica), _ = entry
    return unit, value, tolerance or 0.0, mica


def _worn(unit: str, value: float, tolerance: float | None, mica: bool, names: tuple[str, ...]) -> WornMarking:
    if unit == "F":
        code = digits_of(value, tolerance) if value < 1e-6 else None
        dots = mica_dots_of(value, tolerance) if mica else None
        return WornMarking(value, unit, tolerance, names, code, rkm_of(value, unit), mica=dots)
    return WornMarking(
        value,
        unit,
        tolerance,
        names,
        None,
        rkm_of(value, unit),
        bands_of(value, tolerance),
        body_end_dot_of(value, tolerance),
    )
