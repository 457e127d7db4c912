"""Where a meter that loads the circuit may account for a difference: said, not taken out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...electrics.loading import true_volts
from .comparison import Compared
from .judging import HIGH, LOW, TOLERANCE
from .resistors import Node, Resistor
from .rows import MeterMayExplain, Row
from .runs import Readings

_LOADED = ("plate", "screen")


def with_meters(found: Compared, sources: Sequence[Readings], parts: Sequence[Resistor]) -> Compared:
    """A run's rows; a plate or screen that is off by no more than its list's meter may make says so.

    The source resistance of a triode's plate is its load parallel to its plate resistance, which is not known here, so
    that the load alone is the most there can be. Nothing is said without the meter's resistance and the load.
    """
    inputs = {source.name: source.conditions.input_ohms for source in sources}
    here = found.run.conditions.input_ohms
    return replace(found, rows=tuple(_explained(row, inputs.get(row.source), here, parts) for row in found.rows))


def _explained(row: Row, at_source: float | None, here: float | None, parts: Sequence[Resistor]) -> Row:
    load = _load(row, parts)
    if load is None or row.measured_volts is None or row.adjusted_volts is None or row.as_typed:
        return row
    tolerance = TOLERANCE if row.tolerance is None else row.tolerance
    if row.verdict == HIGH and at_source and row.adjusted_volts > 0:
        most = true_volts(row.adjusted_volts, load.ohms, at_source)
        if row.measured_volts <= most * (1 + tolerance):
            return replace(row, meter=MeterMayExplain("expected", at_source, load.part, load.ohms, most))
    if row.verdict == LOW and here and row.measured_volts > 0:
        most = true_volts(row.measured_volts, load.ohms, here)
        if most >= row.adjusted_volts * (1 - tolerance):
            return replace(row, meter=MeterMayExplain("measured", here, load.part, load.ohms, most))
    return row


def _load(row: Row, parts: Sequence[Resistor]) -> Resistor | None:
    """The only resistor at a plate or screen."""
    if row.spot.kind not in _LOADED or row.current != "DC":
        return None
    at = Node(row.tube, row.spot.key)
    touching = [part for part in parts if at in part.ends]
    return touching[0] if len(touching) == 1 else None
