"""The rail that an electrode hangs on for which no part is listed: by what was read there, or as is usual."""

from __future__ import annotations

from ..places import Place
from .in_the_making import NetInTheMaking

__all__ = ["AT_A_RAIL", "FAR_FROM_RAIL", "WIRE_OHMS", "rail_above"]

AT_A_RAIL = 0.02
"""What is read or published so near to a rail is taken to be on it."""
FAR_FROM_RAIL = 0.7
"""A plate that nothing feeds and that reads below this share of its rail has a part in front that is not listed."""
WIRE_OHMS = 0.1


def rail_above(
    making: NetInTheMaking, rails: list[Place], read: float | None, to: Place, *, nearest: bool = True
) -> Place | None:
    """The ``nearest`` of the rails that stand above what was ``read``, in volts; ``to`` where it was not read, or is no
    matter. None where what was read is far below: a part lies before it that is not listed."""
    if read is None:
        return to
    above = [at for at in rails if (volts := making.read(at)) and read <= volts * (1 + AT_A_RAIL)]
    found = above[-1] if nearest and above else to
    its = making.read(found)
    return None if its and read < FAR_FROM_RAIL * its else found
