"""The amplifying sections of a set that a list of readings tells something of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...circuit.stages import Stage, stage_of_unknown
from .runs import Readings

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place


def stages(run: Readings, network: Network) -> Iterator[Stage]:
    """The stages of every tube that a run has readings of; of an unknown type, as far as it was read."""
    read: dict[str, list[Place]] = {}
    for value in run.values:
        if value.spot.current == "DC":
            read.setdefault(value.spot.place.tube, []).append(value.spot.place)
        else:
            read.setdefault(value.spot.place.tube, [])
    for position in network.places.positions:
        if position not in read:
            continue
        if position in network.places.tubes:
            yield from (stage for stage in network.stages if stage.tube == position)
        else:
            yield stage_of_unknown(position, read[position])
