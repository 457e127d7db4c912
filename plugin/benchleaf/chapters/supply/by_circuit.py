"""The first rail as the set's own circuit has it, beside what is computed of it here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.usual_limits import ONE_POINT
from ...electrics.rectifier import NoSteadyStateError
from ...record.figures import to_figures
from .waveforms import run_supply, volts_to_chassis

if TYPE_CHECKING:
    from ...electrics.rectifier import Rectifier, SteadyState
    from ..bench import Bench
    from ..readings.findings import ReadingsFindings
    from .found import DescribedSupply
    from .waveforms import FilterValues


@dataclass(frozen=True, slots=True)
class ByCircuit:
    """The first rail at one line: ``volts`` and their range by the set's own circuit, ``here_volts`` by this chapter.

    They differ by what is drawn (there by the tubes' published points, here as read) and by the ripple, which the
    circuit leaves out.
    """

    rail: str
    line_volts: float
    volts: float
    low_volts: float
    high_volts: float
    here_volts: float

    @property
    def off(self) -> float:
        """The circuit's figure over the one of this chapter, less one."""
        return self.volts / self.here_volts - 1

    @property
    def same(self) -> bool:
        """Whether two readings of one point may differ by as much."""
        return abs(self.off) <= ONE_POINT

    @property
    def holds(self) -> bool:
        """Whether the figure of this chapter lies in the range of the circuit's."""
        return self.low_volts <= self.here_volts <= self.high_volts


def by_circuit(
    bench: Bench,
    readings: ReadingsFindings | None,
    found: DescribedSupply,
    tube: Rectifier,
    values: FilterValues,
    near: SteadyState,
) -> ByCircuit | None:
    """Both at the line that the circuit was worked out for; None where it has no figure, or counts from B-."""
    line = readings.circuit.conditions.line_volts if readings and readings.circuit else None
    places, network = bench.circuit.places, bench.circuit.network
    first = places.read(found.stages[0].rail)
    worked = next((one for one in readings.worked_out if network.same(one.at, first)), None) if readings else None
    if worked is None or not line or found.back is not None or not worked.volts > 0:
        return None
    try:
        state = run_supply(found, line, tube, values, near=near)
    except (ValueError, NoSteadyStateError):
        return None
    here = to_figures(volts_to_chassis(found, line, state)[0])
    return ByCircuit(found.stages[0].rail, line, worked.volts, worked.low_volts, worked.high_volts, here)
