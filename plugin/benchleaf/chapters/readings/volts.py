"""The voltages that a list of readings knows, by place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .judging import single
from .reference_point import reference
from .runs import Readings
from .spots import RAIL

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place


def voltages(run: Readings, network: Network) -> dict[Place, float]:
    """The DC voltage of each place a run knows: read there or at a place joined to it, and 0 at its reference.

    A rail's own reading holds for the point before those of the electrodes that are joined to it.
    """
    known: dict[Place, float] = {}
    for value in sorted(run.values, key=lambda value: value.spot.kind != RAIL):
        volts = single(value.quantity)
        if value.spot.current == "DC" and not value.spot.pin and volts is not None:
            known.setdefault(network.point(value.spot.place), volts)
    known[network.point(reference(network, run))] = 0.0
    return {place: volts for point, volts in known.items() for place in network.joined_to(point)}
