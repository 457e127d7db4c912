"""Every single fault of a set tried in its own network, and what each foretells at the places that were read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

from ...circuit.usual_limits import METER_OHMS
from ...electrics.dc_elements import BOTTOM
from ...electrics.posterior import SHARE_ERROR, SHARE_ERROR_UNPUBLISHED, Foretold, held_to_sheet
from ...record.place_words import B_PLUS

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from ...circuit.places import Place
    from ...circuit.supposed_faults.supposed_fault import SupposedFault
    from ...electrics.dc_elements import DcNet, DcVariant
    from ...electrics.dc_network import DcSolution

    Floats = NDArray[np.float64]

SHEET_SHARE = 0.7
"""What is left of the tubes' spread where the maker's sheet has the volts: it holds the spread of the type's own point
against the table, not that of one tube against another. No source: picked on simulated sets."""

METER_SHARE = 0.015
"""What a meter shows too much or too little of everything: one deviation. Common practice, no source."""

FLOATING_OHMS, FLOATING_VOLTS = 5e6, 1.0
"""An electrode with more than this behind it hangs on leakage and contact potential, which nobody knows to a volt.
Common practice, no source."""

MOST_CUT_OFF_VOLTS = 3.0
"""A plate or screen that nothing feeds collects electrons until it stands so far below its cathode at most: how far it
depends on its contact potential. Common practice, no source."""

DEAD_VOLTS, DEAD_OHMS = 1.0, 3e3
"""What has next to nothing on it stands where contact potentials and the electrons' own velocities put it, unless
something of few ohms holds it. Common practice, no source."""

CUT_OFF_SHARE = 0.5
"""How far a cathode rises whose resistor is open depends on the tail of its tube's cut-off, which no published point
tells: uneven grids draw some microamperes at nearly twice the bias. Common practice, no source."""

OF_TUBES = ("perveance", "mu", "offset_volts", "screen_share", "contact_volts")
SHARES_BETWEEN = (0.25, 0.5, 0.75)
"""Where a size is put between two that were solved."""

LEAST_MOVED = 0.3
"""A fault that moves no reading by this many of its standard deviations could never be told from nothing wrong."""


@dataclass(frozen=True, slots=True)
class Probe:
    """A place that was or may be read: its node and the meter's ohms there."""

    place: Place
    node: int
    meter_ohms: float = METER_OHMS


@dataclass(frozen=True)
class Trial:
    """All faults of one run's set with what each foretells at each probe; the first fault is that nothing is wrong.

    ``share`` is what a reading is off by for itself.
    """

    faults: tuple[SupposedFault, ...]
    probes: tuple[Probe, ...]
    foretold: Foretold
    share: float

    def off(self, fault: int, probe: int, volts: float) -> float:
        """How many of its standard deviations a reading is off what a fault foretells."""
        if probe not in self._spreads:
            self._spreads[probe] = self.foretold.at([probe]).covariances(self.share)[:, 0, 0]
        return float((volts - self.foretold.means[fault, probe]) / self._spreads[probe][fault] ** 0.5)

    @cached_property
    def _spreads(self) -> dict[int, Floats]:
        """The variance of each fault's reading at the probes that were asked for, in volts squared."""
        return {}


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the maker has: volts by place, the ohms of the meter they were read with, the set as its maker meant it."""

    volts: Mapping[Place, float]
    meter_ohms: float
    meant: DcVariant


def tried(
    net: DcNet, faults: Sequence[SupposedFault], probes: Sequence[Probe], reference: int, sheet: Sheet | None
) -> Trial:
    """What every fault foretells at the probes, counted from the node ``reference``. Raises nothing for a fault that
    has no solution: it is left out."""
    import numpy as np

    from ...electrics.dc_network import solve

    solution = solve(net, [fault.variant for fault in faults], slopes=True)
    solved = [n for n in range(len(faults)) if solution.converged[n]]
    if not solved or solved[0] != 0:
        return Trial((), tuple(probes), Foretold(np.zeros((0, 0)), np.zeros((0, 0, 0))), SHARE_ERROR)
    kept = [faults[n] for n in solved]
    foretold = _drained(_foretold(net, kept, solution.rows(solved), probes, reference), kept, probes)
    known = _at_sheet(sheet, probes)
    meant = _meant(net, sheet, probes, reference) if sheet and known else None
    if meant is not None:
        for n, what in enumerate(solution.parameters):
            if what.endswith(OF_TUBES):
                foretold.slopes[:, :, n] *= SHEET_SHARE
        foretold = held_to_sheet(foretold, meant, known)
    share = SHARE_ERROR if known else SHARE_ERROR_UNPUBLISHED
    return _with_sizes_between(Trial(tuple(kept), tuple(probes), foretold, share))


def _meant(net: DcNet, sheet: Sheet, probes: Sequence[Probe], reference: int) -> Floats | None:
    """What the sheet's meter would show of the set as its maker meant it, at each probe; None without a solution."""
    import numpy as np

    from ...electrics.dc_meters import DcMeter, meter_readings
    from ...electrics.dc_network import solve

    solution = solve(net, [sheet.meant])
    meters = [DcMeter(probe.node, sheet.meter_ohms, reference) for probe in probes]
    return np.asarray(meter_readings(net, [sheet.meant], solution, meters).volts[0]) if solution.converged[0] else None


def _with_sizes_between(trial: Trial) -> Trial:
    """The trial with sizes between those solved, by straight lines on a logarithmic scale; a family's weight stays."""
    by_family: dict[tuple[str, str, str, bool], list[int]] = {}
    for n, fault in enumerate(trial.faults):
        by_family.setdefault(fault.family, []).append(n)
    faults, pairs = list(trial.faults), []
    for family in by_family.values():
        family.sort(key=lambda n: trial.faults[n].size)
        neighbours = list(pairwise(family))
        before = sum(trial.faults[n].weight for n in family)
        if not neighbours:
            continue
        between = [(trial.faults[a], trial.faults[b], share) for a, b in neighbours for share in SHARES_BETWEEN]
        weights = [a.weight * (1 - share) + b.weight * share for a, b, share in between]
        scale = before / (before + sum(weights))
        for n in family:
            faults[n] = replace(faults[n], weight=faults[n].weight * scale)
        faults += [_between(*one, weight * scale) for one, weight in zip(between, weights, strict=True)]
        pairs += neighbours
    return replace(trial, faults=tuple(faults), foretold=trial.foretold.with_between(pairs, SHARES_BETWEEN))


def _between(one: SupposedFault, other: SupposedFault, share: float, weight: float) -> SupposedFault:
    """A fault of a size between two, with its own weight."""
    size = one.size ** (1 - share) * other.size**share
    return replace(one, size=size, weight=weight, measured=one.measured and other.measured)


def _foretold(
    net: DcNet, faults: Sequence[SupposedFault], solution: DcSolution, probes: Sequence[Probe], reference: int
) -> Foretold:
    import numpy as np

    from ...electrics.dc_meters import DcMeter, meter_readings

    meters = [DcMeter(probe.node, probe.meter_ohms, reference) for probe in probes]
    read = meter_readings(net, [fault.variant for fault in faults], solution, meters)
    floating = np.stack([solution.ohms[:, probe.node] > FLOATING_OHMS for probe in probes], axis=1)
    fed = np.array([p.place.electrode in ("plate", "screen") or p.place.kind == B_PLUS for p in probes])
    behind = np.stack([solution.ohms[:, probe.node] for probe in probes], axis=1)
    dead = (np.abs(read.volts) < MOST_CUT_OFF_VOLTS) * behind / (behind + DEAD_OHMS)
    cut_off = fed * np.maximum(np.clip(-read.volts, 0.0, MOST_CUT_OFF_VOLTS), DEAD_VOLTS * dead)
    tails = _tails(faults, probes) * np.abs(read.volts)
    adrift = (FLOATING_VOLTS * floating * read.shares + cut_off + tails)[:, :, None] * np.eye(len(probes))
    of_meter = METER_SHARE * read.volts[:, :, None]
    return Foretold(read.volts, np.concatenate([read.slopes, adrift, of_meter], axis=2))


def _tails(faults: Sequence[SupposedFault], probes: Sequence[Probe]) -> Floats:
    """``CUT_OFF_SHARE`` at the cathodes that a fault leaves without a way to the bottom."""
    import numpy as np

    lost = [f.site.nodes if f.fault == "open" and f.site.where == "cathode" else frozenset() for f in faults]
    return CUT_OFF_SHARE * np.array([[probe.node in nodes - {BOTTOM} for probe in probes] for nodes in lost])


def _drained(foretold: Foretold, faults: Sequence[SupposedFault], probes: Sequence[Probe]) -> Foretold:
    """What is foretold where a meter stands at a grid that a fault leaves afloat: no more than its current over the
    meter's ohms, give or take as much."""
    import numpy as np

    means, afloat = foretold.means.copy(), np.zeros(foretold.means.shape)
    for row, fault in enumerate(faults):
        for n, probe in enumerate(probes):
            if fault.afloat == probe.node:
                means[row, n] = min(means[row, n], fault.float_amps * probe.meter_ohms)
                afloat[row, n] = max(abs(means[row, n]), FLOATING_VOLTS)
    adrift = afloat[:, :, None] * np.eye(len(probes))
    return Foretold(means, np.concatenate([foretold.slopes, adrift], axis=2))


def _at_sheet(sheet: Sheet | None, probes: Sequence[Probe]) -> dict[int, float]:
    volts = sheet.volts if sheet else {}
    return {n: volts[probe.place] for n, probe in enumerate(probes) if probe.place in volts}


def telling(trial: Trial, read: Sequence[int]) -> Trial:
    """The trial without the faults that move none of the places read enough to be told from nothing wrong."""
    import numpy as np

    if not trial.faults or not read:
        return trial
    moved = np.abs(trial.foretold.means - trial.foretold.means[0])[:, read]
    spread = np.sqrt(np.einsum("hpp->hp", trial.foretold.covariances(trial.share)))[0, read]
    kept = [0, *(n for n in range(1, len(trial.faults)) if (moved[n] / spread).max() >= LEAST_MOVED)]
    of_kept = Foretold(trial.foretold.means[kept], trial.foretold.slopes[kept])
    return replace(trial, faults=tuple(trial.faults[n] for n in kept), foretold=of_kept)
