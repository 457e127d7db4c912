"""What a leaking coupling capacitor does: volts on the next grid."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place, when_read
from ...electrics.impedance import grid_offset_volts
from ...tubes import from_memory
from .supply_peak import is_expected, volts_at

AGREES_WITHIN_SHARE = 0.2
"""A leak's volts as computed and as read that differ by no more than this are told as one (common practice, no
source)."""

if TYPE_CHECKING:
    from ...circuit.listed import Listed
    from ...circuit.network import Coupling
    from ...circuit.pieces import Seen
    from ...circuit.places import Place
    from ..bench import Bench

LEAKY_GRID_VOLTS = 0.5
"""From here a leak is called one that shifts the bias (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class OnGrid:
    """Volts that a coupling capacitor's leakage puts on the next grid, through that grid's leak resistor.

    ``volts_bound`` is ``exact``, ``at most`` or ``at least``. ``plate_volts_from`` names the run of readings. ``lacks``
    lists what the record would have to give: ``leakage``, ``leakage volts``, ``grid leak``, ``plate volts``.
    ``bias_volts`` is how far the cathode stands above the grid: as it was read, else as published for the tube.
    ``read_volts`` is what the same run read on the grid, if it did with this capacitor in: grid current and the meter
    hold it below ``volts``, and a leak measured at a higher voltage is more than the one that works in the set.
    """

    grid: str
    plate: str
    volts: float | None = None
    volts_bound: str = ""
    leak_part: str | None = None
    leak_ohms: float | None = None
    plate_volts: float | None = None
    plate_volts_from: str | None = None
    bias_volts: float | None = None
    read_volts: float | None = None
    lacks: tuple[str, ...] = field(default=(), metadata={"json": False})

    @property
    def takes_bias_away(self) -> bool:
        """Whether it takes the grid to its cathode's volts, or above, for sure; one that read lower was not there."""
        if self.volts is None or self.bias_volts is None or self.volts_bound == "at most":
            return False
        read = self.read_volts if self.read_otherwise and self.read_volts is not None else self.volts
        return min(self.volts, read) >= self.bias_volts

    @property
    def read_otherwise(self) -> bool:
        """Whether the grid read other volts than the leak would put there."""
        if self.volts is None or self.read_volts is None:
            return False
        least, most = self.volts * (1 - AGREES_WITHIN_SHARE), self.volts * (1 + AGREES_WITHIN_SHARE)
        too_low = self.read_volts < min(least, self.volts - LEAKY_GRID_VOLTS) and self.volts_bound != "at most"
        too_high = self.read_volts > max(most, self.volts + LEAKY_GRID_VOLTS) and self.volts_bound != "at least"
        return too_low or too_high

    @property
    def shifts_bias(self) -> bool | None:
        """Whether it puts half a volt or more on the grid; None where that cannot be known."""
        if self.volts is None:
            return None
        if self.volts >= LEAKY_GRID_VOLTS:
            return None if self.volts_bound == "at most" else True
        return None if self.volts_bound == "at least" else False


def on_grid(bench: Bench, coupled: Coupling, listed: Listed, leaking: Seen, *, new: bool) -> OnGrid:
    """The divider of leakage resistance and grid leak across the plate voltage before the capacitor.

    An old capacitor is computed with the grid leak and the plate voltage as found, a new one with those of the finished
    set.
    """
    leak = _grid_leak(bench, coupled.grid, new=new)
    read = volts_at(bench, coupled.plate, latest=new)
    lacks: list[str] = []
    if leaking.leakage_ohms is None:
        lacks.append("leakage volts" if leaking.leakage_amps is not None else "leakage")
    if leak is None:
        lacks.append("grid leak")
    if read is None:
        lacks.append("plate volts")
    volts, bound = None, ""
    if leaking.leakage_ohms is not None and leak and read:
        volts = grid_offset_volts(read[0], leaking.leakage_ohms, leak[1])
        bound = {"at least": "at most", "at most": "at least"}.get(leaking.leakage_bound, "exact")
    return OnGrid(
        grid=coupled.grid.name(bench.words),
        plate=coupled.plate.name(bench.words),
        volts=volts,
        volts_bound=bound,
        leak_part=leak[0] if leak else None,
        leak_ohms=leak[1] if leak else None,
        plate_volts=read[0] if read else None,
        plate_volts_from=read[1] if read else None,
        bias_volts=_bias_volts(bench, coupled.grid, new=new),
        read_volts=_read_with_it_in(bench, coupled.grid, read[1], listed, new=new) if read else None,
        lacks=tuple(lacks),
    )


def _read_with_it_in(bench: Bench, grid: Place, run: str, listed: Listed, *, new: bool) -> float | None:
    """Volts read on the grid in a list, None where it was taken with the other capacitor in, or is of a sheet."""
    written = next(each for name, each in bench.record.readings.items() if str(name) == run)
    if is_expected(run, written) or (in_place(listed, when_read(run, written)).which == "now") is not new:
        return None
    return bench.circuit.direct_volts[run].get(bench.circuit.network.point(grid))


def _bias_volts(bench: Bench, grid: Place, *, new: bool) -> float | None:
    read = volts_at(bench, bench.circuit.places.read(f"{grid.tube} cathode"), latest=new) if grid.tube else None
    if read is not None and read[0] > 0:
        return read[0]
    tube = bench.tubes.get(grid.tube)
    published = (point for point in tube.typical if not from_memory(point.sources)) if tube else ()
    return next((-point.grid_volts for point in published if point.grid_volts and point.grid_volts < 0), None)


def _grid_leak(bench: Bench, grid: Place, *, new: bool) -> tuple[str, float] | None:
    for element in bench.circuit.network.leaks(grid):
        ohms = in_place(element.listed, "after" if new else "before").value
        if ohms:
            return element.name, ohms
    return None
