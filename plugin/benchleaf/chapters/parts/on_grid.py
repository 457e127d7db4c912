"""What a leaking coupling capacitor does: volts on the next grid."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.in_place import UNTOLD, in_place
from ...electrics.impedance import grid_offset_volts
from ...record.sections.list_names import measured_runs
from ...tubes import from_memory
from .supply_peak import volts_at

AGREES_WITHIN_SHARE = 0.2
"""A leak's volts as computed and as read that differ by no more than this are told as one (common practice, no
source)."""

if TYPE_CHECKING:
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
    ``bias_volts`` is how far the cathode stands above the grid: by the negative point that the leak returns to, as the
    cathode was read, else as published for the tube.
    ``read_volts`` is what the same run read on the grid, if it did with this one in: grid current and the meter hold it
    below ``volts``, and a leak measured at a higher voltage is more than the one that works in the set. Both count from
    where the grid leak returns to, which stands at ``return_volts``: less than zero at a bias tap or at B-.
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
    return_volts: float = 0.0
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


def on_grid(bench: Bench, coupled: Coupling, leaking: Seen, *, new: bool) -> OnGrid:
    """The divider of leakage resistance and grid leak across the plate voltage before the capacitor.

    An old capacitor is computed with the grid leak and the plate voltage as found, a new one with those of the finished
    set.
    """
    read = _read_while_in(bench, coupled, new=new)
    leak = _grid_leak(bench, coupled.grid, read[1] if read else "", new=new)
    lacks: list[str] = []
    if leaking.leakage_ohms is None:
        lacks.append("leakage volts" if leaking.leakage_amps is not None else "leakage")
    if leak is None:
        lacks.append("grid leak")
    if read is None:
        lacks.append("plate volts")
    back = _returns_to(bench, leak[2], read[1]) if leak and read else 0.0
    volts, bound = None, ""
    if leaking.leakage_ohms is not None and leak and read:
        volts = grid_offset_volts(max(read[0] - back, 0.0), leaking.leakage_ohms, leak[1])
        bound = {"at least": "at most", "at most": "at least"}.get(leaking.leakage_bound, "exact")
    on_it = _read_with_it_in(bench, coupled, read[1], new=new) if read else None
    return OnGrid(
        grid=coupled.grid.name(bench.words),
        plate=coupled.plate.name(bench.words),
        volts=volts,
        volts_bound=bound,
        leak_part=leak[0] if leak else None,
        leak_ohms=leak[1] if leak else None,
        plate_volts=read[0] if read else None,
        plate_volts_from=read[1] if read else None,
        bias_volts=-back if back < -LEAKY_GRID_VOLTS else _bias_volts(bench, coupled.grid, new=new),
        read_volts=None if on_it is None else on_it - back,
        return_volts=back,
        lacks=tuple(lacks),
    )


def _read_while_in(bench: Bench, coupled: Coupling, *, new: bool) -> tuple[float, str] | None:
    """The plate's volts and their list: the first that the old capacitor was in for, or the last of the new one.

    Where it was in for none, or the record has no day of the exchange, the first list and the last tell about what it
    had. What is expected there serves where it was never read.
    """
    circuit, names = bench.circuit, list(measured_runs(bench.record.readings))
    plate = circuit.network.point(coupled.plate)
    read = [name for name in names if plate in circuit.direct_volts[name]]
    if not read:
        return volts_at(bench, coupled.plate, latest=new)
    there = {name: in_place(coupled.element.listed, circuit.day_of(name)) for name in read}
    fits = [name for name in read if there[name].remark == UNTOLD or (there[name].which == "now") == new]
    fits = fits or read
    name = fits[-1] if new else fits[0]
    return circuit.direct_volts[name][plate], name


def _read_with_it_in(bench: Bench, coupled: Coupling, run: str, *, new: bool) -> float | None:
    """Volts read on the grid in a list, None where it was taken with the other capacitor in, or is of a sheet."""
    there = in_place(coupled.element.listed, bench.circuit.day_of(run))
    if run not in measured_runs(bench.record.readings) or (there.which == "now") is not new:
        return None
    return bench.circuit.direct_volts[run].get(bench.circuit.network.point(coupled.grid))


def _returns_to(bench: Bench, end: Place, run: str) -> float:
    """The volts of the point that a grid leak returns to, in a list; 0 where they were not read."""
    return bench.circuit.direct_volts[run].get(bench.circuit.network.point(end), 0.0)


def _bias_volts(bench: Bench, grid: Place, *, new: bool) -> float | None:
    read = volts_at(bench, bench.circuit.places.read(f"{grid.tube} cathode"), latest=new) if grid.tube else None
    if read is not None and read[0] > 0:
        return read[0]
    tube = bench.tubes.get(grid.tube)
    published = (point for point in tube.typical if not from_memory(point.sources)) if tube else ()
    return next((-point.grid_volts for point in published if point.grid_volts and point.grid_volts < 0), None)


def _grid_leak(bench: Bench, grid: Place, run: str, *, new: bool) -> tuple[str, float, Place] | None:
    """The leak that was in for a list, by the list's day where the record knows it: its name, ohms and other end."""
    network = bench.circuit.network
    for element in network.leaks(grid):
        there = in_place(element.listed, bench.circuit.day_of(run))
        if not run or there.remark == UNTOLD:
            there = in_place(element.listed, "after" if new else "before")
        if there.value:
            return element.name, there.value, network.other_end(element, grid)
    return None
