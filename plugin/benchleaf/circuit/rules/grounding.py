"""What is written of the chassis and cannot be so beside the rest of the record, each a Problem at its word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.problems import one_of, quoted
from ..elements import LINE_SIDE
from ..grounding import WIRES

if TYPE_CHECKING:
    from ...record.slips import Slips
    from ..circuit import Circuit

_HELD_AGAINST = ("power", "line", "mains", "parts", "wires", "changes", "line side")


def look_over(circuit: Circuit, slips: Slips) -> None:
    """Tell every contradiction in how the chassis is said to stand, where nothing it is held against was lost."""
    if slips.lost.touches(*_HELD_AGAINST):
        return
    chassis, mains, grounding = circuit.record.chassis, circuit.mains, circuit.grounding
    if chassis is None:
        return
    if grounding.joined:
        named = one_of((f"the {name}" if name in (LINE_SIDE, WIRES) else name for name in grounding.between), "and")
        found = f"{quoted(chassis)} beside parts from B- to chassis ({named})"
        remedy = "" if mains.power else "write “power: transformer” if its two windings part the set from the line"
        slips.add(chassis, "chassis", found, "“through R and C”, or no part that joins the two", remedy)
    if chassis == "line-connected" and not mains.from_line:
        found = f"{quoted(chassis)} in a set with “power: {mains.power}”"
        slips.add(chassis, "chassis", found, "“isolated” or “earthed”, or another “power”")
