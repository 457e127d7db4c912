"""Whether a record says how a stage is biased, and whether its cathode is at the bottom of the supply."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM
from .rail_above import WIRE_OHMS

if TYPE_CHECKING:
    from ..places import Place
    from ..stages import Stage
    from .in_the_making import NetInTheMaking

CONTACT_OHMS = 3e6
"""From such a leak on the grid's own current biases a stage whose cathode is at the bottom. Common practice."""
GRID_AT_ZERO_VOLTS = 0.5
"""A grid that reads further below zero is biased by something. Common practice, no source."""


def of_unknown_bias(making: NetInTheMaking, stage: Stage) -> bool:
    """Whether nothing says how an amplifying triode is biased: its cathode was put at the bottom by rule alone.

    Such a cathode is at the bottom where the grid's own leak biases it, and on a resistor in any other set: neither is
    to be guessed, as the plate's volts hang on it.
    """
    cathode = stage.cathode
    by_rule = {at.place for at in making.taken if at.how == "at the bottom"}
    if cathode is None or cathode not in by_rule or stage.screens or stage.oscillates or stage.mixes:
        return False
    if making.read(cathode) is not None:
        return False
    grids = [at for at in stage.grids if at.electrode == "grid"] or list(stage.grids)
    negative = any((making.read(grid) or 0.0) < -GRID_AT_ZERO_VOLTS for grid in grids)
    return not negative and not any(biased_by_contact(making, cathode, grid) for grid in grids)


def biased_by_contact(making: NetInTheMaking, cathode: Place, grid: Place) -> bool:
    here = making.node(grid)
    leaks = [b.ohms for b in making.branches if here in b.ends and b.name not in making.capacitors]
    return at_bottom(making, cathode) and bool(leaks) and min(leaks) >= CONTACT_OHMS


def at_bottom(making: NetInTheMaking, cathode: Place) -> bool:
    here = making.node(cathode)
    wires = (b for b in making.branches if here in b.ends and b.ohms <= WIRE_OHMS)
    return here == BOTTOM or any(BOTTOM in b.ends for b in wires)
