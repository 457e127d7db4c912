"""A tube that oscillates: its grid makes itself negative, so that its current is another than at rest."""

from __future__ import annotations

from dataclasses import replace

from ...electrics.dc_elements import Deviations
from ...electrics.tube_law import oscillator_triode
from ..currents import OFF_VOLTS
from ..places import Place
from .in_the_making import NetInTheMaking
from .laws import StageLaw

OSCILLATING_SHARE = 1 / 3
"""What an oscillating triode takes of its published current with the grid at zero. Common practice, no source."""
USUAL_OSCILLATOR = (4e-3, 150.0)
"""Amperes and volts of a converter's oscillator plate that none are published of. Common practice, no source."""
OSCILLATOR_SPREAD = Deviations(perveance=0.35)


def oscillator_at_work(making: NetInTheMaking, law: StageLaw, plate: Place) -> StageLaw:
    """An oscillator of which a point at rest is published: its grid makes itself negative at work.

    Its law is by what its own plate resistor passes, where it was read; where faults are tried that may be one's work.
    Otherwise it takes a share of what is published with the grid at zero, or about what is published with a bias.
    """
    passes = None if making.to_try else _passed(making, plate)
    if passes is None:
        point = law.point
        share = 1.0 if point.grid_volts or point.cathode_ohms else OSCILLATING_SHARE
        usual = oscillator_triode(share * (point.plate_amps or 0.0), point.plate_volts or 0.0)
        return replace(law, law=usual, deviations=OSCILLATOR_SPREAD, converter=True)
    making.unknown.add(making.point(plate))
    return replace(law, law=oscillator_triode(*passes), converter=True)


def _passed(making: NetInTheMaking, plate: Place) -> tuple[float, float] | None:
    """The amperes that the only part at a plate passes, and the plate's volts, where both its ends were read."""
    volts = making.volts.get(making.point(plate))
    here = making.nodes.get(making.point(plate))
    known = {making.nodes[at]: read for at, read in making.volts.items() if at in making.nodes}
    feeds = [b for b in making.branches if here in b.ends and b.name not in making.capacitors]
    top = known.get(feeds[0].ends[feeds[0].ends[0] == here]) if len(feeds) == 1 else None
    if volts is None or top is None or not OFF_VOLTS < volts < top:
        return None
    return (top - volts) / feeds[0].ohms, volts
