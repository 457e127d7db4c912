"""What an ohmmeter should show between two points: power off, tubes cold, capacitors charged."""

from __future__ import annotations

import math
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
_BOTTOM = "bottom"


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
