"""Back bias: the point below the chassis to which the supply's current returns, whatever the record calls it.

With the centre tap of the high-voltage winding, or the foot of a bridge, not on the chassis but behind resistors or the
speaker's field, all of the set's direct current makes the bias across these (common practice, no source). Charts call
the point ``bias``, ``C-`` or after the tap; to the circuit it is B-.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS, CHASSIS, is_centre_tap
from .elements import CAPACITOR, FUSE, RESISTOR, WINDING, Element
from .in_place import InPlace, When, in_place
from .places import Place, rail
from .read_volts import direct_volts
from .warm_field import at_work

if TYPE_CHECKING:
    from ..electrics.nodal_analysis import NetworkElement
    from ..record.model import Record
    from .mains import Mains
    from .network import Network

LEAST_AMPS = 5e-3
"""What a receiver's whole current is more than, and what no grid and no bleeder of a bias supply makes; and the most
ohms between the chassis and a point that is called a bias and was not read. Common practice, no source."""
LEAST_VOLTS = 2.0
MOST_OHMS = 3000.0
_FOOT, _BOTTOM = "foot", "bottom"
_BIAS = re.compile(r"\bbias\b|\bc ?-$|\bback bias\b", re.I)


@dataclass(frozen=True, slots=True)
class ReturnPath:
    """What the supply's current passes between the chassis and B-: ohms of ``parts``, and the farads across all."""

    ohms: float
    farads: float
    parts: tuple[str, ...]


def return_path(mains: Mains, network: Network, when: When) -> ReturnPath | None:
    """What lies in the negative return at a time; None where B- is the chassis, or no ohms are known of it."""
    from ..electrics.nodal_analysis import Resistor, solve

    between = network.from_b_minus_to_chassis() if mains.double_wound or mains.power == "battery" else ()
    names = {network.point(rail(B_MINUS)): _FOOT, network.point(rail(CHASSIS)): _BOTTOM}
    resistors: list[NetworkElement] = []
    parts, farads = [], 0.0
    for element in between:
        there = at_work(element.listed, when)
        ends = [names.setdefault(network.point(end), f"n{len(names)}") for end in element.ends]
        ohms = _ohms_at(there) if element.kind in (RESISTOR, WINDING) else None
        if ohms:
            resistors.append(Resistor(ends[0], ends[1], ohms))
            parts.append(element.name)
        elif element.kind == CAPACITOR and there.value and {*ends} == {_FOOT, _BOTTOM}:
            farads += there.value
    found = solve(resistors, 0.0, earth=_BOTTOM).thevenin(_FOOT, _BOTTOM).ohms if resistors else None
    return ReturnPath(abs(found), farads, tuple(parts)) if found else None


def negative_return(record: Record, mains: Mains, network: Network) -> Place | None:
    """The point of a writer's own name that is B-; None where the record names B-, or none is.

    It hangs on the chassis by resistors, chokes or a field alone. The centre tap of the winding is it by its name;
    else the point that was read farthest below the chassis, where more flows than grids and bleeders draw; else one
    that is called a bias and was never read.
    """
    if not mains.double_wound or _names_b_minus(record, network):
        return None
    ohms = _below_chassis(network)
    tap = next((at for at in ohms if is_centre_tap(at.name())), None)
    if tap is not None:
        return tap
    volts = _lowest(record, network)
    read = [at for at in ohms if volts.get(at, 0.0) <= -LEAST_VOLTS and -volts[at] >= LEAST_AMPS * ohms[at]]
    if read:
        return min(read, key=lambda at: volts[at])
    called = [at for at in ohms if at not in volts and _BIAS.search(at.name()) and ohms[at] <= MOST_OHMS]
    return max(called, key=lambda at: ohms[at], default=None)


def _names_b_minus(record: Record, network: Network) -> bool:
    """Whether B- is written anywhere: then it is where it is written."""
    points = [*network.points, *(end for element in network.elements for end in element.ends)]
    for run in record.readings.values():
        points += [place for place, _ in network.places.of_readings(run.points)]
        points += [network.places.read(str(run.to))] if run.to else []
    return any(place.kind == B_MINUS for place in points)


def _below_chassis(network: Network) -> dict[Place, float]:
    """The points that hang on the chassis by what passes the supply's current, with the ohms on the way there."""
    found: dict[Place, float] = {network.point(rail(CHASSIS)): 0.0}
    left = list(found)
    while left:
        here = left.pop(0)
        for element in network.at(here, RESISTOR, WINDING, FUSE):
            there, ohms = network.point(network.other_end(element, here)), _ohms(element)
            if ohms is not None and found.get(there, math.inf) > found[here] + ohms and _is_free(there, network):
                found[there] = found[here] + ohms
                left.append(there)
    return {at: ohms for at, ohms in found.items() if ohms > 0}


def _is_free(point: Place, network: Network) -> bool:
    """Whether no rail and no electrode but grids stands on a point."""
    return not any(at.kind if not at.tube else at.electrode != "grid" for at in network.joined_to(point))


def _ohms(element: Element) -> float | None:
    """The ohms of a part, now or as it was; a fuse has none to speak of."""
    if element.kind == FUSE:
        return 0.0
    known: Iterator[float | None] = (_ohms_at(in_place(element.listed, when)) for when in ("now", "before"))
    return next((ohms for ohms in known if ohms), None)


def _ohms_at(there: InPlace) -> float | None:
    ohms = (there.value or there.nominal) if there.unit == "ohm" and there.is_there else None
    return ohms if ohms and math.isfinite(ohms) else None


def _lowest(record: Record, network: Network) -> Mapping[Place, float]:
    """The lowest direct volts that any list has of each point."""
    found: dict[Place, float] = {}
    for volts in direct_volts(record, network.places, network).values():
        for at, value in volts.items():
            found[at] = min(value, found.get(at, math.inf))
    return found
