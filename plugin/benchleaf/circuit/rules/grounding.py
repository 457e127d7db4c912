"""What is written of the chassis and cannot be so beside the rest of the record, each a Problem at its word."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.problems import Problem, one_of, quoted
from ...record.text import NOWHERE, Place, place_of
from ..elements import LINE_SIDE
from ..grounding import WIRES

if TYPE_CHECKING:
    from ...record.slips import Slips
    from ..circuit import Circuit

_Found = tuple[Place | None, str, str, str]
"""Place, found, expected, remedy."""


def look_over(circuit: Circuit, slips: Slips) -> None:
    """Tell every contradiction in how the chassis is said to stand."""
    slips.add_problems([Problem.at(slips.file, at or NOWHERE, "chassis", *told) for at, *told in _found(circuit)])


def _found(circuit: Circuit) -> Iterator[_Found]:
    chassis, mains, grounding = circuit.record.chassis, circuit.mains, circuit.grounding
    if chassis is None:
        return
    if grounding.joined:
        named = one_of((f"the {name}" if name in (LINE_SIDE, WIRES) else name for name in grounding.between), "and")
        found = f"{quoted(chassis)} beside parts from B- to chassis ({named})"
        remedy = "" if mains.power else "write “power: transformer” if its two windings part the set from the line"
        yield place_of(chassis), found, "“through R and C”, or no part that joins the two", remedy
    if chassis == "line-connected" and not mains.from_line:
        found = f"{quoted(chassis)} in a set with “power: {mains.power}”"
        yield place_of(chassis), found, "“isolated” or “earthed”, or another “power”", ""
