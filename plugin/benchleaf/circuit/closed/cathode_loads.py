"""Stages whose load lies in their cathode: followers, and inverters with a load in plate and cathode."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM

if TYPE_CHECKING:
    from ..places import Place
    from ..stages import Stage
    from .in_the_making import NetInTheMaking

CATHODE_LOAD_OHMS, LEAST_LOAD_OHMS = 15e3, 1e3
"""More than the bias resistor of any triode, and less than the load of any in its plate. Common practice."""


def works_into_its_cathode(making: NetInTheMaking, stage: Stage) -> bool:
    """Whether a stage's load is in its cathode, as a follower's or a split-load inverter's: its leak ends there.

    A resistor in the cathode that is a quarter of the plate's, or is that of no bias, is a load.
    """
    if stage.cathode is None or stage.screens:
        return False
    below = _least_ohms(making, stage.cathode, to=BOTTOM)
    above = min((ohms for at in stage.plates if (ohms := _least_ohms(making, at)) is not None), default=None)
    if below is None:
        return False
    return below >= CATHODE_LOAD_OHMS or (above is not None and above > LEAST_LOAD_OHMS and below >= above / 4)


def _least_ohms(making: NetInTheMaking, place: Place, to: int | None = None) -> float | None:
    """The least ohms of the parts at a place, or of those of them that lead to a node."""
    here = making.nodes.get(making.point(place))
    return min(
        (
            branch.ohms
            for branch in making.branches
            if here in branch.ends and branch.name not in making.capacitors and (to is None or to in branch.ends)
        ),
        default=None,
    )
