"""What a rectifier tube gives on and on, beside the most direct current that it is published for as it is wired."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.rectifier_feed import high_voltage_windings, rectifiers_of
from ...record.figures import to_figures
from ...tubes import from_memory, titles

if TYPE_CHECKING:
    from ...tubes.tube import DirectCurrentLimit
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from .found import DescribedSupply

KNOWN_TO = 0.1
"""Share that what a set draws is known to: loads are worked out from readings and marked parts. Common practice, no
source."""
_ON_TAP, _SHUNTED, _NO_LAMP = "pilot lamp on the tap", "pilot lamp on the tap with shunt resistor", "no pilot lamp"
_WINDING = re.compile(r"transformer of 2 x (?P<volts>\d+) V")


@dataclass(frozen=True, slots=True)
class DirectCurrent:
    """Amperes of direct current at the nominal line, with the most and the condition that this holds on.

    ``over`` says that it is more by more than it is known to; ``published`` that the limit is not from memory alone.
    """

    amps: float
    limit_amps: float
    condition: str
    over: bool
    published: bool
    source: str = field(default="", metadata={"json": False})


@dataclass(frozen=True, slots=True)
class WindingCurrent:
    """The direct current that the rectifier takes through a high-voltage winding, with the amperes it is written for.

    A winding for B+ is rated in direct current behind its rectifier (common practice, no source). ``over`` says that
    it is more by more than it is known to.
    """

    name: str
    amps: float
    rated_amps: float
    over: bool


def winding_current(bench: Bench, found: DescribedSupply) -> WindingCurrent | None:
    """The current through the one winding for B+ at the nominal line; None where none is written with its amperes."""
    windings = list(high_voltage_windings(bench.circuit))
    heaters = bench.record.heaters
    if heaters is None or len(windings) != 1 or windings[0].amps is None or not windings[0].amps.si:
        return None
    name = next(str(name) for name, one in heaters.windings.items() if one is windings[0])
    rated = windings[0].amps.si
    amps = _drawn(found)
    return WindingCurrent(name, to_figures(amps, 2), rated, amps > rated * (1 + KNOWN_TO))


def _drawn(found: DescribedSupply) -> float:
    return sum(stage.load_amps for stage in found.stages) * found.line_volts[1] / found.load_line_volts


def direct_current(bench: Bench, found: DescribedSupply, heaters: HeatersFindings | None) -> DirectCurrent | None:
    """The direct current of the one rectifier tube beside its limit; None where the table has none for it."""
    if found.dry is not None or len(rectifiers_of(bench.circuit)) != 1:
        return None
    limit = _limit(bench.tubes[found.position].maxima.dc, found, heaters)
    if limit is None:
        return None
    amps = _drawn(found)
    return DirectCurrent(
        to_figures(amps, 2),
        limit.amps,
        limit.condition,
        amps > limit.amps * (1 + KNOWN_TO),
        not from_memory(limit.sources),
        titles(limit.sources),
    )


def _limit(
    limits: Iterable[DirectCurrentLimit], found: DescribedSupply, heaters: HeatersFindings | None
) -> DirectCurrentLimit | None:
    """The limit on the condition that this set is; the largest where none of its conditions is known to be."""
    by_condition = {limit.condition: limit for limit in limits}
    string = heaters.string if heaters else None
    lamp = _NO_LAMP
    if string is not None and string.tapped is not None and string.tapped.tube == found.position:
        lamp = _SHUNTED if any(shunt.tap for shunt in string.shunts) else _ON_TAP
    if lamp in by_condition:
        return by_condition[lamp]
    windings = {int(at["volts"]): limit for said, limit in by_condition.items() if (at := _WINDING.search(said))}
    volts = found.volts_per_line_volt * found.line_volts[1] / math.sqrt(2)
    if above := sorted(each for each in windings if each >= volts / (1 + KNOWN_TO)):
        return windings[above[0]]
    return max(by_condition.values(), key=lambda limit: limit.amps, default=None)
