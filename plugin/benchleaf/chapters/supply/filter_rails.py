"""The rails of the filter with what stores at each: of several capacitors side by side all that were in at a time."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.elements import ends_of
from ...circuit.in_place import InPlace, When
from ...circuit.places import Place, rail_order
from ...record.place_words import B_MINUS, CHASSIS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ..bench import Bench
    from ..parts.findings import PartFindings, PartsFindings

LEAST_FILTER_FARADS = 0.25e-6
"""From a rail to the bottom, a smaller capacitor is a bypass for radio frequency. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class FilterRail:
    """One rail with the capacitors from it to B- or the chassis, in the record's order."""

    place: Place
    rows: tuple[PartFindings, ...]

    def at(self, when: When) -> InPlace:
        """What stores there at a time: of several that were in their sum, which is of no value where one has none."""
        there = [row.at(when) for row in self._in(when)]
        return there[0] if len(there) == 1 else _together(there)

    def names(self, when: When) -> str:
        """The names of the capacitors that were in at a time."""
        return " and ".join(row.name for row in self._in(when))

    def _in(self, when: When) -> Sequence[PartFindings]:
        return [row for row in self.rows if row.at(when).is_there] or self.rows[:1]


def _together(there: Sequence[InPlace]) -> InPlace:
    """Capacitors side by side as one: farads add up, and so do the conductances of what is in series with each."""
    farads = [one.value for one in there if one.value is not None and one.unit == "F"]
    nominal = [one.nominal for one in there if one.nominal is not None]
    series = [one.esr_ohms for one in there if one.esr_ohms]
    hows = {one.how for one in there}
    value = math.fsum(farads) if len(farads) == len(there) else None
    esr = 1 / math.fsum(1 / ohms for ohms in series) if len(series) == len(there) else None
    return replace(
        there[0],
        seen=replace(there[0].seen, esr_ohms=esr),
        value=value,
        low=value,
        high=value,
        nominal=math.fsum(nominal) if len(nominal) == len(there) else None,
        how=hows.pop() if len(hows) == 1 else "measured or marked",
    )


def filter_rails(bench: Bench, parts: PartsFindings) -> list[FilterRail]:
    """The rails with a capacitor to B- or the chassis: the rectifier's cathode, then by their names, B+1 before B+2."""
    network = bench.circuit.network
    found: dict[Place, list[PartFindings]] = {}
    for row in parts.rows():
        ends = ends_of(row.piece, bench.circuit.places)
        if row.kind != "capacitor" or ends is None or _is_small(row):
            continue
        for high, low in (ends, ends[::-1]):
            at = network.point(high)
            if at.kind == "B+" and network.is_common(low):
                found.setdefault(at, []).append(row)
    return [FilterRail(at, tuple(found[at])) for at in sorted(found, key=rail_order)]


def ends_at_b_minus(bench: Bench, row: PartFindings) -> bool:
    """Whether a capacitor ends at B- where that is another point than the chassis."""
    network, b_minus = bench.circuit.network, bench.circuit.places.read(B_MINUS)
    ends = ends_of(row.piece, bench.circuit.places) or ()
    return not network.same(b_minus, bench.circuit.places.read(CHASSIS)) and any(
        network.same(at, b_minus) for at in ends
    )


def _is_small(row: PartFindings) -> bool:
    """Whether a capacitor holds back radio frequency and no hum; one of which nothing is known is none such."""
    known = [farads for when in ("before", "now") if (farads := row.at(when).nominal or row.at(when).value)]
    return bool(known) and max(known) < LEAST_FILTER_FARADS
