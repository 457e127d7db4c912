"""Resistors alone: what an ohmmeter should show between two points, and what they leave of a rail while all is cold."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .elements import FUSE, RESISTOR, WINDING, Element
from .in_place import When, in_place
from .usual_limits import JOINED_OHMS

if TYPE_CHECKING:
    from ..electrics.nodal_analysis import NetworkElement
    from .circuit import Circuit
    from .places import Place

MEASURED_OFF, MARKED_OFF = 0.03, 0.20
"""An ohmmeter's, and that of a part without a tolerance. Common practice, no source."""
_LARGEST_OFF = 0.9
"""What no part falls below its value by, whatever tolerance is written."""
_UNKNOWN_KIND = ""
_UNWRITTEN = {RESISTOR: (1.0, 1e7), WINDING: (1.0, 2000.0), FUSE: (0.0, 1.0), _UNKNOWN_KIND: (1.0, math.inf)}
_TOO_WIDE = 2.5
_BOTTOM, _RAIL = "bottom", "rail"


@dataclass(frozen=True, slots=True)
class RailOhms:
    """The lowest and the highest ohms; both None where no part leads from one to the other. ``known`` is false where
    the ends lie too far apart to tell, since a part on the way has no ohms."""

    low_ohms: float | None
    high_ohms: float | None
    known: bool = True


def rail_ohms(circuit: Circuit, rail: Place, when: When = "now") -> RailOhms:
    """The resistors and windings from a rail to B- or what is wired to it. A cold tube draws nothing."""
    return ohms_between(circuit, rail, None, when)


def ohms_between(circuit: Circuit, one: Place, other: Place | None, when: When = "now") -> RailOhms:
    """The resistors and windings from one place to another, or to the bottom of the supply (None), at one time."""
    if circuit.network.is_common(one) if other is None else circuit.network.same(one, other):
        return RailOhms(0.0, JOINED_OHMS)
    low, high = (_ohms_of(circuit, one, other, end, when) for end in (0, 1))
    if low is None:
        return RailOhms(None, None)
    if high is None or high > _TOO_WIDE * max(low, 1e-9):
        return RailOhms(None, None, known=False)
    return RailOhms(low, high)


def _ohms_of(circuit: Circuit, one: Place, other: Place | None, end: int, when: When) -> float | None:
    from ..electrics.nodal_analysis import Resistor, solve

    network = circuit.network
    names: dict[Place, str] = {}

    def node(place: Place) -> str:
        return _BOTTOM if network.is_common(place) else names.setdefault(network.point(place), f"n{len(names)}")

    ends = node(one), _BOTTOM if other is None else node(other)
    parts: list[NetworkElement] = []
    for element in network.elements:
        ohms = _ohms(element, when)
        at = [node(place) for place in element.ends]
        if ohms is not None and at[0] != at[1]:
            parts.append(Resistor(at[0], at[1], ohms[end]))
    if not parts or ends[0] == ends[1]:
        return None
    found = solve(parts, 0.0, earth=_BOTTOM).thevenin(*ends).ohms
    return None if found is None else abs(found)


def cold_shares(circuit: Circuit, rail: Place, when: When = "now") -> Mapping[Place, float]:
    """The highest share of a rail's voltage that each point can have while no tube draws current, by point.

    Only of points that resistors lead to. A divider's ratio of its two arms moves by no more than the quotient of the
    largest and the smallest factor on its resistors, so that is its bound. What a part without ohms would be makes the
    share the larger of those it has with next to nothing and with next to no current through it.
    """
    network = circuit.network
    if network.is_common(rail):
        return {}
    first = _cold_shares(circuit, rail, when, 0)
    other = _cold_shares(circuit, rail, when, 1)
    return {point: max(share, other[point]) for point, share in first.items()}


def _cold_shares(circuit: Circuit, rail: Place, when: When, unwritten: int) -> dict[Place, float]:
    from ..electrics.nodal_analysis import Resistor, VoltageSource, solve

    network = circuit.network
    names: dict[Place, str] = {network.point(rail): _RAIL}

    def node(place: Place) -> str:
        return _BOTTOM if network.is_common(place) else names.setdefault(network.point(place), f"n{len(names)}")

    parts: list[NetworkElement] = [VoltageSource(_RAIL, _BOTTOM, 1.0)]
    widest = 1.0
    for element in network.elements:
        ohms = _ohms(element, when)
        at = [node(place) for place in element.ends]
        if ohms is None or at[0] == at[1]:
            continue
        if ohms == _UNWRITTEN.get(element.kind):
            parts.append(Resistor(at[0], at[1], max(ohms[unwritten], 1.0) if math.isfinite(ohms[unwritten]) else 1e9))
        else:
            parts.append(Resistor(at[0], at[1], math.sqrt(ohms[0] * ohms[1])))
            widest = max(widest, ohms[1] / ohms[0])
    found = solve(parts, 0.0, earth=_BOTTOM)
    shares = ((point, found.voltage(name)) for point, name in names.items())
    return {point: _at_most(abs(share), widest) for point, share in shares if share is not None}


def _at_most(share: float, widest: float) -> float:
    return share * widest / (share * widest + 1 - share) if share < 1 else 1.0


def _ohms(element: Element, when: When) -> tuple[float, float] | None:
    """Lowest and highest ohms of a part; None for what carries no direct current."""
    there = in_place(element.listed, when)
    if element.kind not in _UNWRITTEN or not there.is_there or there.condition == "open":
        return None
    if there.unit != "ohm" or not there.value:
        return _UNWRITTEN[element.kind]
    off = MEASURED_OFF if there.how == "measured" else MARKED_OFF
    if there.how != "measured" and there.tolerance:
        off = max(-there.tolerance.low, there.tolerance.high)
    return there.value * (1 - min(off, _LARGEST_OFF)), there.value * (1 + off)
