"""From the chassis to B- and back: what a list read to one point would read to the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...circuit.grounding import reference_group
from .judging import single
from .places import RAIL
from .runs import Readings

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit


def shift(circuit: Circuit, source: Readings, run: Readings) -> float | None:
    """Volts to add to a source's values so that they count from the run's point; None where that is not known.

    It needs B- read to the chassis (or the chassis to B-) in one of the two lists; the source's own goes first.
    """
    if not other_reference(circuit, source, run):
        return None
    to = reference_group(run.conditions.reference)
    if {reference_group(source.conditions.reference), to} != {"B-", "chassis"}:
        return None
    b_minus = next((volts for one in (source, run) if (volts := _b_minus_to_chassis(one)) is not None), None)
    if b_minus is None:
        return None
    return -b_minus if to == "B-" else b_minus


def _b_minus_to_chassis(readings: Readings) -> float | None:
    for value in readings.values:
        volts = single(value.quantity)
        if value.spot.kind == RAIL and value.spot.current == "DC" and volts is not None:
            group = reference_group(value.spot.tube)
            if group in ("B-", "chassis") and group != reference_group(readings.conditions.reference):
                return volts if group == "B-" else -volts
    return None


def other_reference(circuit: Circuit, source: Readings, run: Readings) -> bool:
    """Whether two lists count from two points that are not one in this set."""
    here, there = (reference_group(one.conditions.reference) for one in (run, source))
    return here != there and not circuit.grounding.one_point
