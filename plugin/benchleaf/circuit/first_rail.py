"""What is so of a network though nobody writes it: B- and the chassis are one, the rectifier's cathode is a rail."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS, B_PLUS, CHASSIS
from .elements import CAPACITOR
from .network import Network, groups_of, joined_points
from .places import Place, Places, rail, rail_order
from .read_volts import direct_volts
from .usual_limits import READING_LIMIT

if TYPE_CHECKING:
    from ..record.model import Record


def with_common_point(network: Network, record: Record, *, one_point: bool) -> Network:
    """The network with what is so though nobody writes it: B- and the chassis joined (``one_point``), the rectifier's
    cathode joined to the rail that it feeds."""
    joined = network
    if one_point:
        joined = replace(network, points=joined_points([*groups_of(network), [rail(B_MINUS), rail(CHASSIS)]]))
    if first := _first_filter(joined) or _beside_the_reservoir(joined, record):
        return replace(joined, points=joined_points([*groups_of(joined), [*first]]), first_filter=first)
    return joined


def cathode_apart(network: Network) -> Place | None:
    """The one cathode of a set's rectifier that is not known to be any rail; None where there are several, or it is."""
    cathodes = dict.fromkeys(
        network.point(at) for position in network.places.positions for at in _cathodes(network.places, position)
    )
    if len(cathodes) != 1:
        return None
    (cathode,) = cathodes
    return None if any(not at.tube and at.kind == B_PLUS for at in network.joined_to(cathode)) else cathode


def rails_apart(network: Network, reached: Place) -> tuple[Place, ...]:
    """The rails of a name that something hangs on, and that no written part or wire joins to a point, B+1 first."""
    behind = _behind(network, network.point(reached))
    hung = {network.point(end) for one in network.elements if one.kind != CAPACITOR for end in one.ends}
    apart = [at for at in hung if at.kind == B_PLUS and not at.tube and at not in behind]
    return tuple(sorted(apart, key=rail_order))


def _behind(network: Network, start: Place) -> set[Place]:
    """The points that direct current reaches from one, by way of parts, and not by B- or an electrode."""
    found, left = {start}, [start]
    while left:
        here = left.pop()
        for element in network.feeds(here):
            there = network.point(network.other_end(element, here))
            if there not in found:
                found.add(there)
                left += [there] if there.kind == B_PLUS or not there.tube else []
    return found


def _first_filter(network: Network) -> tuple[Place, Place] | None:
    """The rectifier's cathode and the rail its first filter stands on, where both are known and nothing parts them.

    The first filter is the first rail, by the number in its name, with a capacitor to B- or the chassis. A capacitor
    written at the cathode itself is its first filter; a resistor, choke, fuse or winding at the cathode parts the two.
    """
    cathode = _only_cathode(network)
    if cathode is None or network.feeds(cathode) or network.to_common(cathode, CAPACITOR):
        return None
    rails = {
        end
        for element in network.elements
        for end in element.ends
        if element.kind == CAPACITOR
        and end.kind == B_PLUS
        and not end.tube
        and "doubler" not in element.job.casefold()
        and network.is_common(network.other_end(element, end))
    }
    first = min(rails, key=rail_order, default=None)
    return None if first is None or network.same(cathode, first) else (cathode, first)


def _only_cathode(network: Network) -> Place | None:
    cathodes = [place for position in network.places.positions for place in _cathodes(network.places, position)]
    return cathodes[0] if len(cathodes) == 1 else None


def _beside_the_reservoir(network: Network, record: Record) -> tuple[Place, Place] | None:
    """The rectifier's cathode, where the reservoir is written, and the rail that must be the same point.

    That is the first rail by its number, where another rail comes behind it, no capacitor is written at it and nothing
    written leads there from the cathode: what hangs on it is fed from nowhere else. Of what leads on from the cathode
    a part must lead to a later rail. Where both were read, they were read alike.
    """
    cathode = _only_cathode(network)
    if cathode is None or cathode_apart(network) is None or not network.to_common(cathode, CAPACITOR):
        return None
    volts = direct_volts(record, network.places, network)
    read_rails = (at for read in volts.values() for at in read if _is_rail(at))
    rails = sorted({*_named_rails(network), *read_rails}, key=rail_order)
    if len(rails) < 2 or network.to_common(rails[0], CAPACITOR):
        return None
    first, behind = rails[0], _behind(network, network.point(cathode))
    if first in behind or _read_apart(cathode, first, network, volts):
        return None
    leads_on = bool(network.feeds(cathode))
    if leads_on and not first.key[-1:].isdecimal():
        return None
    later = behind if leads_on else _behind(network, first)
    return (cathode, first) if later & {*rails[1:]} else None


def _named_rails(network: Network) -> set[Place]:
    ends = (network.point(end) for element in network.elements for end in element.ends)
    return {end for end in ends if _is_rail(end)}


def _is_rail(at: Place) -> bool:
    return at.kind == B_PLUS and not at.tube


def _read_apart(one: Place, other: Place, network: Network, volts: Mapping[str, Mapping[Place, float]]) -> bool:
    """Whether a list reads two points, and not as one."""
    at = network.point(one)
    both = [(read[at], read[other]) for read in volts.values() if {at, other} <= {*read}]
    return any(abs(a - b) > READING_LIMIT * max(abs(a), abs(b)) for a, b in both)


def _cathodes(places: Places, position: str) -> tuple[Place, ...]:
    """The cathodes of a rectifier, or its filament; none of another tube."""
    tube = places.tubes.get(position)
    if tube is None or "rectifier" not in (tube.role or ""):
        return ()
    keys = dict.fromkeys(row.electrode for row in tube.pin_rows) or dict.fromkeys(
        key for section in tube.sections for key in section.electrodes
    )
    found = (place for key in keys for place in places.at_tube(position, key) if place.kind == B_PLUS)
    return tuple(dict.fromkeys(found))
