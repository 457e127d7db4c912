"""What an ohmmeter should show, unplugged and cold, between the pins of the plug, B- and the chassis."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ...circuit.rail_ohms import MARKED_OFF
from ...electrics.network_elements import ends
from ...electrics.nodal_analysis import NetworkElement, Solution, VoltageSource, solve
from .barriers import spread
from .described import DescribedState
from .line_and_load import SetLoad
from .topology import B_MINUS, CHASSIS, EARTH, HOT_LEAD, NEUTRAL, RETURN_LEAD, Wiring, network

HOT_PIN, RETURN_PIN, EARTH_PIN = "pin of the hot lead", "pin of the return lead", "pin of the earth wire"

_NODES = {HOT_PIN: HOT_LEAD, RETURN_PIN: RETURN_LEAD, EARTH_PIN: EARTH, B_MINUS: B_MINUS, CHASSIS: CHASSIS}
_UNKNOWN = (0.1, 1e4)
"""Stands for a load nobody wrote: a reading that depends on it comes out unlike at the two ends."""

_SAME = 1.5


@dataclass(frozen=True, slots=True)
class OhmmeterReading:
    """One reading. ``low_ohms`` to ``high_ohms`` is its band (spread of the parts, heaters cold); both None: no path.

    ``known`` is false where it hangs on something that is not written, such as a transformer's primary.
    """

    between: str
    other: str
    switch: str
    low_ohms: float | None
    high_ohms: float | None
    known: bool

    @property
    def open(self) -> bool:
        """Whether nothing joins the two."""
        return self.known and self.low_ohms is None


def resistances(described: DescribedState, load: SetLoad) -> tuple[OhmmeterReading, ...]:
    """Every pair worth measuring, in each position of the switch; of several wirings the widest band."""
    wiring = described.wiring
    places = [HOT_PIN, RETURN_PIN, *([] if wiring.double_wound else [B_MINUS]), CHASSIS]
    pairs = [(a, b) for i, a in enumerate(places) for b in places[i + 1 :]]
    if described.plug == "three-pin with earth" and wiring.earthed:
        pairs.append((EARTH_PIN, CHASSIS))
    found = []
    for switch in wiring.switch_ways():
        solved = [_ends(w, switch, load, described.supply) for w in described.wirings]
        found += [_reading(a, b, switch, solved) for a, b in pairs]
    return tuple(found)


def _ends(wiring: Wiring, switch: str, load: SetLoad, supply: str) -> tuple[Solution, Solution]:
    """The set for direct current at the low and the high end of what is known."""
    low: float | None
    high: float | None
    low, high = load.cold_ohms or _UNKNOWN
    if supply in ("transformer", "autotransformer"):
        low, high = load.primary_band or _UNKNOWN
    if load.blocks_direct and load.cold_ohms is not None:
        low, high = (
            (low + load.bleeder_ohms * (1 - MARKED_OFF), high + load.bleeder_ohms * (1 + MARKED_OFF))
            if load.bleeder_ohms
            else (None, None)
        )
    return (
        solve(_unplugged(wiring, switch, low, more=True), 0.0, earth=HOT_LEAD),
        solve(_unplugged(wiring, switch, high, more=False), 0.0, earth=HOT_LEAD),
    )


def _unplugged(wiring: Wiring, switch: str, load_ohms: float | None, more: bool) -> tuple[NetworkElement, ...]:
    """The wiring without the line. A load of None lets no direct current through."""
    ohms = 1e15 if load_ohms is None else load_ohms
    bench = replace(
        wiring,
        b_minus=spread(wiring.b_minus, more),
        hot_to_chassis=spread(wiring.hot_to_chassis, more),
        return_to_chassis=spread(wiring.return_to_chassis, more),
        load_ohms=ohms,
        idle_ohms=ohms,
    )
    whole = network(bench, "right", switch)
    of_the_house = {EARTH, NEUTRAL}
    return tuple(e for e in whole if not isinstance(e, VoltageSource) and set(ends(e)) != of_the_house)


def _reading(a: str, b: str, switch: str, solved: list[tuple[Solution, Solution]]) -> OhmmeterReading:
    values = [_ohms(solution, a, b) for pair in solved for solution in pair]
    if all(v is None for v in values):
        return OhmmeterReading(a, b, switch, None, None, True)
    there = [v for v in values if v is not None]
    low, high = min(there), max(there)
    unknown = len(there) < len(values) or (high > _UNKNOWN[1] / _SAME / 1.05 and low < _UNKNOWN[0] * _SAME)
    return OhmmeterReading(a, b, switch, None if unknown else low, None if unknown else high, not unknown)


def _ohms(solution: Solution, a: str, b: str) -> float | None:
    ohms = solution.thevenin(_NODES[a], _NODES[b]).ohms
    return None if ohms is None or abs(ohms) > 1e14 else abs(ohms)
