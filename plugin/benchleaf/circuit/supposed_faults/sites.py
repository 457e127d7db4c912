"""Where each part stands in the circuit, as far as a fault of it shows itself there."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.place_words import B_PLUS
from ..elements import CAPACITOR, WINDING
from .supposed_fault import FaultSite

if TYPE_CHECKING:
    from ..closed.closed_network import Closed
    from ..elements import Element
    from ..network import Network
    from ..places import Place

_COMMON, _RAIL = "common", "rail"
_FED = ("plate", "screen")


def site_of(element: Element, network: Network, closed: Closed, reservoirs: frozenset[int]) -> FaultSite:
    """Where an element stands; ``reservoirs`` are the nodes that rectifiers charge."""
    ends = tuple(network.point(end) for end in element.ends)
    between = frozenset(node for end in ends if (node := closed.node(end)) is not None)
    coupling = network.coupling(element.name) if element.kind == CAPACITOR else None
    if coupling is not None:
        return FaultSite("coupling", coupling.grid, between)
    kinds = {_kind(end, network): _electrode(end, network) for end in ends}
    for kind in ("cathode", "grid", *_FED):
        if kind in kinds and (_COMMON in kinds or (kind in _FED and _RAIL in kinds)):
            return FaultSite(_at_plate(element, kinds[kind]) if kind == "plate" else kind, kinds[kind], between)
    if _RAIL in kinds and _COMMON in kinds:
        return FaultSite("reservoir" if between & reservoirs else _RAIL, kinds[_RAIL], between)
    if set(kinds) == {_RAIL}:
        return FaultSite("filter", ends[1], between)
    electrode = next((at for kind, at in kinds.items() if kind not in (_COMMON, _RAIL)), ends[0])
    return FaultSite("elsewhere", electrode, between)


def _at_plate(element: Element, plate: Place) -> str:
    return "output" if element.kind == WINDING and plate.swings else "plate"


def _kind(point: Place, network: Network) -> str:
    if network.is_common(point):
        return _COMMON
    at = network.joined_to(point)
    if any(place.kind == B_PLUS for place in at):
        return _RAIL
    return next((place.kind for place in at if place.tube and place.kind), "")


def _electrode(point: Place, network: Network) -> Place:
    """The electrode or rail that a point is said by."""
    at = network.joined_to(point)
    rails = (place for place in at if place.kind == B_PLUS and not place.tube)
    return next(rails, next((place for place in at if place.tube), point))
