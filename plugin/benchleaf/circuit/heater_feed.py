"""Which heaters a winding feeds: what it is said to feed, less the plates and what no heater bears."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .heater_names import fed_by
from .rectifier_feed import heater_volts, plates_fed, rectifiers_of

if TYPE_CHECKING:
    from ..record.sections.heaters import Winding
    from .circuit import Circuit

BEYOND_A_HEATER = 3.0
"""A heater at more than so many times its volts burns out at once: the record is wrong. Common practice, no source."""


def heaters_fed(circuit: Circuit, winding: Winding) -> tuple[str, ...]:
    """The positions whose heaters hang on a winding by what is written behind ``feeds``; none of what it ruins."""
    ruined = ruined_by(circuit, winding)
    return tuple(p for p in _named(circuit, winding) if p not in ruined)


def ruined_by(circuit: Circuit, winding: Winding) -> tuple[str, ...]:
    """The positions that a winding is said to feed at a voltage that no heater of theirs can have had."""
    volts = winding.volts.si
    if volts is None:
        return ()
    rated = ((p, heater_volts(circuit, p)) for p in _named(circuit, winding))
    return tuple(p for p, heater in rated if heater is not None and volts > BEYOND_A_HEATER * heater)


def _named(circuit: Circuit, winding: Winding) -> list[str]:
    if not winding.feeds or plates_fed(circuit, winding):
        return []
    positions = [str(p) for p in circuit.record.tubes]
    fed, _ = fed_by(str(winding.feeds), positions, rectifiers_of(circuit))
    return [p for p in fed if p in positions]
