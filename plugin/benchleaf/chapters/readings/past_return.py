"""The whole current held against what the negative return carries: what goes past it, a meter shows in two places."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.operating import AGREE
from ...circuit.places import rail
from ...circuit.usual_limits import READING_LIMIT
from ...circuit.whole_current import whole_current
from ...record.figures import to_figures
from ...record.place_words import B_MINUS

if TYPE_CHECKING:
    from ...circuit.resistors import Through
    from ..bench import Bench
    from .runs import Readings

__all__ = ["PastReturn", "past_return"]


@dataclass(frozen=True, slots=True)
class PastReturn:
    """``via`` carries ``via_amps`` of the set's direct current, and the return's ``parts``, which all of it should
    pass, ``amps``: ``past_amps`` go past them, as through ``past_ohms`` beside."""

    via: str
    via_amps: float
    parts: tuple[str, ...]
    amps: float
    past_amps: float
    past_ohms: float

    def said(self, b_minus: str) -> str:
        """What it comes to, in a sentence."""
        from ...record.units import say

        said = " and ".join(self.parts)
        carry, them = ("carry", "them") if len(self.parts) > 1 else ("carries", "it")
        return (
            f"{self.via} carries {say(self.via_amps, 'A')}, and {said}, through which all of it goes back, {carry} "
            f"{say(self.amps, 'A')}: {say(self.past_amps, 'A')} go past {them}, as through "
            f"{say(self.past_ohms, 'ohm')} from {b_minus} to the chassis: an end that leaks to its can or the chassis, "
            "or a part that is not listed"
        )


def past_return(run: Readings, bench: Bench, drains: Sequence[Through]) -> PastReturn | None:
    """What goes past the return in one list; None where it carries as much as any resistor or coil between the rails
    does, by Ohm's law and Kirchhoff's for currents, as nearly as two readings and two resistors tell."""
    whole = whole_current(bench.circuit, run.name)
    most = max(drains, key=lambda drain: drain.amps, default=None)
    if whole is None or most is None:
        return None
    off = READING_LIMIT * math.hypot(most.from_volts, most.to_volts) / most.ohms
    past = most.amps - whole.amps
    if past <= AGREE * most.amps + off:
        return None
    volts = bench.circuit.direct_volts[run.name][bench.circuit.network.point(rail(B_MINUS))]
    found = (most.amps, whole.amps, past, abs(volts) / past)
    via_amps, amps, past_amps, past_ohms = (to_figures(value) or 0.0 for value in found)
    return PastReturn(most.part, via_amps, whole.parts, amps, past_amps, past_ohms)
