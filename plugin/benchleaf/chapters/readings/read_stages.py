"""The amplifying sections of a set that a list of readings tells something of, and what current they draw."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...circuit.currents import operating
from ...circuit.operating import Operating
from ...circuit.stages import Stage, stage_of_unknown
from .runs import Readings
from .volts import voltages

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ..bench import Bench


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


def working_points(run: Readings, bench: Bench) -> dict[str, Operating]:
    """Every stage of which a list of readings and the parts tell a current, by the name of its stage."""
    network = bench.circuit.network
    parts = bench.circuit.resistors(run.when, bench.words)
    return operating(bench.circuit, stages(run, network), voltages(run, network), parts, run.name)
