"""Tuning indicators put into a network: the target at its rail; what their plates take is no published law."""

from __future__ import annotations

from ..places import Place
from .closed_network import TakenAs
from .in_the_making import NetInTheMaking
from .rail_above import WIRE_OHMS, rail_above

__all__ = ["close_indicators"]


def close_indicators(making: NetInTheMaking, rails: list[Place]) -> None:
    """Leaves the plates of indicators unknown, and feeds a target that no part feeds as other plates are."""
    for position, tube in making.circuit.tubes.items():
        if not any(section.name.startswith("indicator") for section in tube.sections):
            continue
        own = [place for place in making.nodes if place.tube == position]
        making.unknown |= {place for place in own if place.electrode == "plate"}
        for target in (place for place in own if place.electrode == "target"):
            _feed(making, target, rails)


def _feed(making: NetInTheMaking, target: Place, rails: list[Place]) -> None:
    """On the last rail that stands above what it reads, else on the second; near none, nothing is known of it."""
    if making.point(target) in making.held or making.reaches(target, making.sources):
        return
    fed = [at for at in rails if making.reaches(at, making.sources)]
    to = rail_above(making, fed, making.read(target), fed[min(1, len(fed) - 1)]) if fed else None
    if to is None:
        making.unknown.add(making.point(target))
        return
    making.branch(f"{target.name()} to its rail", target, to, WIRE_OHMS)
    making.taken.append(TakenAs("fed from", target, to))
