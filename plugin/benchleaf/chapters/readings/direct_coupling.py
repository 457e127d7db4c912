"""Whether a control grid may stand at a positive voltage: it does where its stage is coupled directly."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.places import FED_FROM_B_PLUS

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.places import Place
    from .spots import Spot

_LEAST_VOLTS = 10.0
_FEEDS = FED_FROM_B_PLUS | {"cathode"}


@dataclass(frozen=True, slots=True)
class OwnCathode:
    """What a grid is compared with: the volts read at its own cathode, None where it was not read.

    ``coupled`` says that the record has the grid at a voltage by design (wired to a plate, or a resistor leads to it
    from a plate, from B+ or from a cathode); False that a leak or a coupling capacitor there speaks against it; None
    that nothing is written.
    """

    volts: float | None = None
    coupled: bool | None = None

    def remark(self, grid: float | None) -> tuple[str, ...]:
        """What a grid of so many volts, more than bias or a small leak would make, is beside its own cathode."""
        from ...record.units import say

        if grid is None or self.volts is None or grid < _LEAST_VOLTS:
            return ()
        off = grid - self.volts
        return (f"{'+' if off > 0 else ''}{say(off, 'V')} beside its own cathode",)


def own_cathode(spot: Spot, volts_at: Mapping[Place, float], network: Network) -> OwnCathode | None:
    """The cathode of a control grid's section, by the voltages that a run reads; None of any other place."""
    if not spot.is_control_grid:
        return None
    stage = next((stage for stage in network.stages if spot.place in stage.grids), None)
    volts = volts_at.get(stage.cathode) if stage and stage.cathode else None
    return OwnCathode(volts, _coupled(spot.place, network))


def _coupled(grid: Place, network: Network) -> bool | None:
    if any(place.kind == "plate" for place in network.joined_to(grid)):
        return True
    if any(network.other_end(feed, grid).kind in _FEEDS for feed in network.feeds(grid)):
        return True
    written = network.leaks(grid) or any(coupling.grid == grid for coupling in network.couplings)
    return False if written else None
