"""From the chassis to B- and back: what a list read to one point would read to the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.place_words import B_MINUS, CHASSIS
from .judging import single
from .runs import Readings
from .spots import RAIL

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place


def shift(network: Network, source: Readings, run: Readings) -> float | None:
    """Volts to add to a source's values so that they count from the run's point; None where that is not known.

    It needs B- read to the chassis (or the chassis to B-) in one of the two lists; the source's own goes first.
    """
    if not other_reference(network, source, run):
        return None
    to = reference(network, run)
    if {reference(network, source).kind, to.kind} != {B_MINUS, CHASSIS}:
        return None
    b_minus = next((volts for one in (source, run) if (volts := _b_minus_to_chassis(network, one)) is not None), None)
    if b_minus is None:
        return None
    return -b_minus if to.kind == B_MINUS else b_minus


def reference(network: Network, readings: Readings) -> Place:
    """The point that a list was read to."""
    return network.places.read(readings.conditions.reference)


def _b_minus_to_chassis(network: Network, readings: Readings) -> float | None:
    for value in readings.values:
        volts, place = single(value.quantity), value.spot.place
        if value.spot.kind != RAIL or value.spot.current != "DC" or volts is None:
            continue
        if place.is_common and place != reference(network, readings):
            return volts if place.kind == B_MINUS else -volts
    return None


def other_reference(network: Network, source: Readings, run: Readings) -> bool:
    """Whether two lists count from two points that are not one in this set."""
    return not network.same(reference(network, run), reference(network, source))
