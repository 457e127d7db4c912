"""What is written of the chassis and cannot be so beside the rest of the record, each a Problem at its word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.problems import one_of, quoted
from ..grounding import LINE_SIDE, isolated_and_joined, parts_between
from ..mains import mains_of

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.slips import Slips


def look_over(record: Record, slips: Slips) -> None:
    """Tell every contradiction in how the chassis is said to stand."""
    mains, between = mains_of(record), parts_between(record)
    chassis = record.chassis
    if chassis is None:
        return
    if isolated_and_joined(record, mains, between):
        named = one_of((f"the {name}" if name == LINE_SIDE else name for name in between), "and")
        found = f"{quoted(chassis)} beside parts from B- to chassis ({named})"
        remedy = "" if mains.power else "write “power: transformer” if its two windings part the set from the line"
        slips.add(chassis, "chassis", found, "“through R and C”, or no part that joins the two", remedy)
    if chassis == "line-connected" and not mains.from_line:
        found = f"{quoted(chassis)} in a set with “power: {mains.power}”"
        slips.add(chassis, "chassis", found, "“isolated” or “earthed”, or another “power”")
