"""Rails that a closed network holds at what was read, set free again where it is known what they should be about.

A rail that is held is no evidence. With the sheet's volts of every rail it is known what must feed and load them when
nothing is wrong: then they move with a fault, and what was read there speaks. Without a sheet the volts are those that
the set's output tube is used at, give or take much: then a rail that is nearly dead speaks, and no other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from statistics import median
from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM, DcBranch, HeldNode
from ...record.place_words import B_PLUS

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcNet
    from ...electrics.dc_network import DcSolution
    from ..closed.closed_network import Closed

__all__ = ["SUPPLY", "FreedNet", "freed"]

SUPPLY = "supply"
"""The branch that stands for all that lies behind the first rail."""

OPEN_SHARE = 1.15
"""What a rectifier gives into a light load over what the sheet has. Common practice, no source."""

SUPPLY_SPREAD, LOAD_SPREAD = 0.2, 0.2
_LEAST_AMPS = 1e-5


@dataclass(frozen=True)
class FreedNet:
    """A network whose rails are free: ``nodes`` are theirs, ``first`` the one that the supply feeds."""

    net: DcNet
    nodes: frozenset[int]
    first: int | None = None


def freed(
    closed: Closed, sheet: Mapping[int, float], ohms: Mapping[str, float], spread: float = 0.0
) -> FreedNet | None:
    """The network with its held rails set free; None where none is held, or the sheet has none of them.

    ``sheet`` has volts above the bottom by node, ``ohms`` what parts are marked with. With a ``spread`` they are no
    more than what is usual, and one standard deviation of the supply's volts is that share of them. A rail that the
    sheet lacks is taken to be off as the others are. What is lacking at a rail when the set is as meant becomes a load
    or a feed there: stages that the network has not, parts that are not listed.
    """
    from ...electrics.dc_network import solve

    net = closed.net
    if net is None or net.rectifiers:
        return None
    rail_nodes = {node for place, node in closed.nodes.items() if place.kind == B_PLUS}
    rails = [held for held in net.held if held.node in rail_nodes]
    known = [sheet[held.node] / held.volts for held in rails if held.node in sheet and held.volts > 0]
    if not known:
        return None
    sheet = {held.node: held.volts * median(known) for held in rails} | dict(sheet)
    meant = _as_meant(net, sheet, ohms)
    solution = solve(meant)
    if not solution.converged[0]:
        return None
    rails.sort(key=lambda held: -sheet[held.node])
    drawn = {held.node: _drawn(meant, solution, held.node) for held in rails}
    if drawn[rails[0].node] <= _LEAST_AMPS:
        return None
    back = rails[0].returns
    apart = bool(spread and not back)
    source = net.size if apart else back
    below = -float(solution.volts[0, back])
    free = replace(
        net,
        size=net.size + apart,
        held=tuple(held for held in net.held if held not in rails),
        branches=(*net.branches, *_feeds(rails, sheet, drawn, source, below, spread)),
    )
    if apart:
        volts = HeldNode(f"{SUPPLY} volts", source, OPEN_SHARE * sheet[rails[0].node], spread)
        free = replace(free, held=(*free.held, volts))
    return FreedNet(free, frozenset(held.node for held in rails), rails[0].node)


def _as_meant(net: DcNet, sheet: Mapping[int, float], ohms: Mapping[str, float]) -> DcNet:
    """The network as its maker meant it: parts as marked, what is held at the sheet's volts."""
    return replace(
        net,
        branches=tuple(replace(branch, ohms=ohms.get(branch.name, branch.ohms)) for branch in net.branches),
        held=tuple(replace(held, volts=sheet.get(held.node, held.volts)) for held in net.held),
    )


def _feeds(
    rails: list[HeldNode], sheet: Mapping[int, float], drawn: dict[int, float], source: int, below: float, spread: float
) -> Iterator[DcBranch]:
    """The supply of the first rail; of each other what more is drawn there, or what must feed it from the first.

    The supply's volts are in series with it, unless the node ``source`` holds them. Where ``source`` is where its
    current returns, ``below`` the bottom, they go along with it when that way is open; their ``spread`` is its ohms'.
    """
    first = rails[0].node
    through = sum(amps for node, amps in drawn.items() if node != first and amps > _LEAST_AMPS)
    volts = OPEN_SHARE * sheet[first]
    ohms = (volts - sheet[first]) / (drawn[first] + through)
    if rails[0].returns:
        unsure = math.hypot(SUPPLY_SPREAD, spread / (OPEN_SHARE - 1))
        yield DcBranch(SUPPLY, (first, source), ohms, unsure, volts=volts + below)
    else:
        yield DcBranch(SUPPLY, (first, source), ohms, SUPPLY_SPREAD, volts=0.0 if source else volts)
    for rail in rails[1:]:
        amps, below = drawn[rail.node], sheet[first] - sheet[rail.node]
        if amps < -_LEAST_AMPS:
            yield DcBranch(f"{rail.name} load", (rail.node, BOTTOM), -sheet[rail.node] / amps, LOAD_SPREAD)
        elif amps > _LEAST_AMPS:
            yield DcBranch(f"{rail.name} feed", (first, rail.node), max(below, 1.0) / amps, LOAD_SPREAD)


def _drawn(net: DcNet, solution: DcSolution, node: int) -> float:
    """The current that a held node gives into the network, in amperes."""
    volts = solution.volts[0]
    amps = 0.0
    for branch in net.branches:
        one, other = branch.ends
        flow = float(volts[one] - volts[other] - branch.volts) / branch.ohms
        amps += flow * ((one == node) - (other == node))
    for n, tube in enumerate(net.tubes):
        plate, screen = float(solution.plate_amps[0, n]), float(solution.screen_amps[0, n])
        amps += plate * (tube.plate == node) + screen * (tube.screen == node)
        amps -= (plate + screen) * (tube.cathode == node)
    return amps
