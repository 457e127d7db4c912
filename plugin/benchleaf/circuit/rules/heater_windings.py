"""A winding that is said to feed heaters with volts no heater bears: a slip of the record, never a finding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.problems import one_of, quoted
from ..heater_feed import BEYOND_A_HEATER, ruined_by

if TYPE_CHECKING:
    from ...record.slips import Slips
    from ..circuit import Circuit


def look_over(circuit: Circuit, slips: Slips) -> None:
    """Ask at each winding whose volts and feeds cannot both be so."""
    heaters = circuit.record.heaters
    for name, winding in heaters.windings.items() if heaters else ():
        ruined = ruined_by(circuit, winding)
        if ruined and winding.feeds:
            tubes = one_of([f"{p}, {circuit.tubes[p].heater.volts:g} V" for p in ruined], "and")
            slips.add(
                winding.feeds,
                f"heaters.windings.{name}.feeds",
                f"{quoted(winding.feeds)} on {winding.volts.written}, more than {BEYOND_A_HEATER:g} times what the "
                f"heater takes ({tubes})",
                "heaters of about the winding’s volts, or a rectifier’s plates",
                "write “rectifier” as the tube’s job where the winding feeds its plates",
            )
