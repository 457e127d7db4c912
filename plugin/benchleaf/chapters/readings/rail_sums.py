"""What tubes take together, held against what a resistor or the field coil before them carries."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.operating import AGREE
from ...circuit.usual_limits import READING_LIMIT
from ...circuit.whole_current import whole_current
from ...record.figures import to_figures
from .read_stages import stages

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...circuit.operating import Operating
    from ...circuit.places import Place
    from ...circuit.resistors import Through
    from ...circuit.stages import Stage
    from ..bench import Bench
    from .runs import Readings
    from .supply_tree import Branch

__all__ = ["RailSum", "rail_sums"]


@dataclass(frozen=True, slots=True)
class RailSum:
    """``via`` carries ``carried_amps``; by their resistors ``tubes`` take ``taken_amps`` behind it.

    ``off_amps`` is what the readings at its two ends make it unsure by. ``others`` are tubes behind it, wholly or with
    their screen, of which no current is known by a resistor.
    """

    via: str
    carried_amps: float
    taken_amps: float
    tubes: tuple[str, ...]
    others: tuple[str, ...] = ()
    off_amps: float = 0.0

    @property
    def contradicts(self) -> bool:
        """Whether the tubes take more than comes, by more than two readings and two resistors allow."""
        return self.taken_amps > self.carried_amps * (1 + AGREE) + self.off_amps

    @property
    def agrees(self) -> bool:
        """Whether what comes is what the tubes take, where all of them are known."""
        return not self.others and abs(self.taken_amps - self.carried_amps) <= self.carried_amps * AGREE + self.off_amps

    @property
    def left_amps(self) -> float | None:
        """What is left for the others, for screens' dividers and bleeders."""
        return to_figures(self.carried_amps - self.taken_amps)


def rail_sums(
    run: Readings, bench: Bench, drains: Sequence[Through], points: Mapping[str, Operating], tree: Sequence[Branch]
) -> tuple[RailSum, ...]:
    """The sums of one run: of each resistor that feeds several tubes, as far as the supply's tree does not tell it, and
    of what the negative return carries."""
    return tuple(
        _sums(run, bench, drains, points, {branch.via for branch in tree if branch.unaccounted_amps is not None})
    )


def _sums(
    run: Readings, bench: Bench, drains: Sequence[Through], points: Mapping[str, Operating], told: set[str]
) -> Iterator[RailSum]:
    network = bench.circuit.network
    every = [stage for stage in stages(run, network) if stage.plates]
    for drain in drains:
        fed = [stage for stage in every if _is_fed(stage, drain, network)]
        if drain.part in told or len({stage.tube for stage in fed}) < 2 or drain.amps <= 0:
            continue
        partly = [s.tube for s in every if s not in fed and any(_hangs_on(at, drain, network) for at in s.screens)]
        found = _sum(drain.part, drain.amps, fed, points, network, partly)
        off = READING_LIMIT * (abs(drain.from_volts) + abs(drain.to_volts)) / drain.ohms
        found = replace(found, off_amps=to_figures(off) or 0.0) if found else None
        if found is not None and (found.contradicts or found.agrees):
            yield found
    whole = whole_current(bench.circuit, run.name)
    if whole is not None:
        found = _sum(" and ".join(whole.parts), whole.amps, every, points, network)
        if found is not None:
            yield found


def _is_fed(stage: Stage, drain: Through, network: Network) -> bool:
    """Whether all that a stage takes comes through one resistor: each plate and screen is at its far end, or fed from
    there."""
    return all(_hangs_on(at, drain, network) for at in (*stage.plates, *stage.screens))


def _hangs_on(at: Place, drain: Through, network: Network) -> bool:
    if network.same(at, drain.to_node):
        return True
    ends = [network.other_end(one, at) for one in network.feeds(at) if one.name != drain.part]
    return bool(ends) and all(network.same(end, drain.to_node) for end in ends)


def _sum(
    via: str,
    carried: float,
    fed: Sequence[Stage],
    points: Mapping[str, Operating],
    network: Network,
    also: Iterable[str] = (),
) -> RailSum | None:
    """The sum of what is known; a cathode that several sections share counts once. None where none is known."""
    taken: dict[Place, float] = {}
    tubes: list[str] = []
    others: list[str] = list(also)
    for stage in fed:
        point = points.get(stage.name)
        if point and point.cathode_amps is not None and point.cathode_by == "resistor" and stage.cathode is not None:
            taken[network.point(stage.cathode)] = point.cathode_amps
            tubes.append(stage.tube)
    for stage in fed:
        point, plate = points.get(stage.name), stage.plates[0]
        if stage.cathode is not None and network.point(stage.cathode) in taken:
            continue
        if point and point.plate_amps is not None and point.plate_by == "resistor" and not stage.screens:
            taken[network.point(plate)] = point.plate_amps
            tubes.append(stage.tube)
        else:
            others.append(stage.tube)
    known = tuple(dict.fromkeys(tubes))
    if not taken:
        return None
    rest = tuple(tube for tube in dict.fromkeys(others) if tube not in known)
    return RailSum(via, to_figures(carried) or carried, to_figures(sum(taken.values())) or 0.0, known, rest)
