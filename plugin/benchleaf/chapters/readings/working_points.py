"""What current each stage draws by a list of readings and the parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.currents import operating
from ...circuit.operating import Operating
from .meters import taken_amps
from .read_stages import stages
from .volts import voltages

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ..bench import Bench
    from .runs import Readings


def working_points(run: Readings, bench: Bench) -> dict[str, Operating]:
    """Every stage of which a list of readings and the parts tell a current, by the name of its stage."""
    network = bench.circuit.network
    parts = bench.circuit.resistors(run.when, bench.words)
    volts, of_run = voltages(run, network), list(stages(run, network))
    found = operating(bench.circuit, of_run, volts, parts, run.name)
    return {name: _without_the_meter(point, name, of_run, volts, run, network) for name, point in found.items()}


def _without_the_meter(
    point: Operating,
    name: str,
    of_run: Iterable[Stage],
    volts: Mapping[Place, float],
    run: Readings,
    network: Network,
) -> Operating:
    """A working point whose plate and screen are held against the cathode without what the meter took at them.

    On a range that is not written the meter took what makes them agree best.
    """
    stage = next((one for one in of_run if one.name == name), None)
    if stage is None or point.sum_over_cathode is None or not point.cathode_amps:
        return point
    read = [network.point(at) for at in (*stage.plates, *stage.screens)]
    taken = [taken_amps(volts[at], run.conditions_at(at, network)) for at in read if at in volts]
    least = sum(amps - unsure for amps, unsure in taken) / point.cathode_amps
    most = sum(amps + unsure for amps, unsure in taken) / point.cathode_amps
    over = point.sum_over_cathode - 1
    return replace(point, sum_over_cathode=1 + over - min(max(over, least), most))
