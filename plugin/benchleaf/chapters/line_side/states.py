"""Every state of a line side: ways of the plug, positions of the switch, single faults, touchable parts."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

from ...electrics.limits import RESIDUAL_CURRENT_DEVICES, TouchLimit, over_limit, trip
from ...electrics.nodal_analysis import NetworkElement, NetworkError, Solution, solve
from ...electrics.touch import Touch, touch_between
from .barriers import is_wired
from .single_faults import NONE, SingleFault, faults_of
from .topology import EARTH, PLUG_WAYS, ReachablePart, Wiring, network


@dataclass(frozen=True, slots=True)
class TouchState:
    """A hand on one part in one state, the feet on earth. Volts and amperes RMS unless the name says peak.

    ``no_load_volts`` is None where the part has no defined voltage. ``touch_amps_rms`` is U2/500 of IEC 60990's
    weighted network; ``u1_volts``, ``u2_volts`` are its two voltages, ``body_amps`` what really flows.
    ``prospective_amps`` would flow if the part were joined solidly to earth: None, with ``short_circuit_if_earthed``
    true, where nothing limits it. ``short_circuit`` says that the state itself shorts the line: there is no figure
    until a fuse or breaker opens, and ``over_limit`` is true for the chassis and what is bolted to it, but None behind
    a component and where an earth wire behind a double-wound transformer is meant to carry that current. ``listed`` is
    false for a chassis the record does not name as touchable. Two say whether a residual-current device of that size
    would open on the current through the hand (None for direct current). The last three are of the same state in its
    worst case, at high line and with every part at the end of its tolerance.
    """

    plug: str
    switch: str
    fault: str
    part: str
    no_load_volts: float | None
    touch_amps_rms: float | None
    touch_amps_peak: float | None
    over_limit: bool | None
    listed: bool
    u1_volts: float | None
    u2_volts: float | None
    body_amps: float | None
    prospective_amps: float | None
    short_circuit: bool
    short_circuit_if_earthed: bool
    residual_current_device_5_ma: str | None
    residual_current_device_30_ma: str | None
    worst_case_amps_rms: float | None = None
    worst_case_amps_peak: float | None = None
    worst_case_over_limit: bool | None = None

    @property
    def under_as_written_only(self) -> bool:
        """Whether it is under the limit as written, and over it in the worst case."""
        return self.over_limit is False and bool(self.worst_case_over_limit)

    @property
    def may_be_over(self) -> bool:
        """Whether it is over the limit as written or in the worst case."""
        return bool(self.over_limit or self.worst_case_over_limit)


@dataclass(frozen=True, slots=True)
class BetweenState:
    """One hand on ``part``, the other on ``other``; otherwise as :class:`TouchState`."""

    plug: str
    switch: str
    fault: str
    part: str
    other: str
    no_load_volts: float | None
    touch_amps_rms: float | None
    touch_amps_peak: float | None
    over_limit: bool | None
    worst_case_over_limit: bool | None = None


_DUST = 1e-13
_NOT_YET = "not yet"


class Solved:
    """Networks already solved in one examination, and the touches taken from them."""

    def __init__(self, hertz: float) -> None:
        self.hertz = hertz
        self._networks: dict[tuple[NetworkElement, ...], Solution | None] = {}
        self._touches: dict[tuple[int, str, str], Touch | None] = {}

    def network(self, elements: tuple[NetworkElement, ...]) -> Solution | None:
        """The network solved, or None where it is a short circuit."""
        solved = self._networks.get(elements, _NOT_YET)
        if isinstance(solved, str):
            try:
                solved = solve(elements, self.hertz, EARTH)
            except NetworkError as error:
                if error.kind not in ("shorted source", "loop of sources"):
                    raise
                solved = None
            self._networks[elements] = solved
        return solved

    def touch(self, network: Solution | None, part: str, other: str = EARTH) -> Touch | None:
        """The touch, or None where the network is a short circuit."""
        if network is None:
            return None
        key = (id(network), part, other)
        if key not in self._touches:
            self._touches[key] = touch_between(network, part, other, self.hertz, EARTH)
        return self._touches[key]


def states_of(
    wirings: Sequence[Wiring],
    limit: TouchLimit,
    solved: Solved | None = None,
    worst_cases: Sequence[Wiring] = (),
) -> tuple[tuple[TouchState, ...], tuple[BetweenState, ...]]:
    """Every state to earth and every state between any two parts; of several wirings the worst.

    ``worst_cases`` are the same wirings in their worst case, of which each state then tells too.
    """
    solved = solved or Solved(wirings[0].hertz)
    parts = wirings[0].parts
    to_earth: list[TouchState] = []
    between: list[BetweenState] = []
    pairs = [(one, other) for one, other in combinations(parts, 2) if one.node != other.node]
    at_worst = faults_by_name(worst_cases)
    for fault, wirings_with in faults_by_name(wirings).items():
        for plug, switch in product(PLUG_WAYS, ("on", "off")):
            networks = [solved.network(n) for n in networks_of(wirings_with, plug, switch)]
            if not networks:
                continue
            at_end = [solved.network(n) for n in networks_of(at_worst.get(fault, ()), plug, switch)]
            for part in parts:
                touch, other_touch = (_worst_at(found, solved, part.node) for found in (networks, at_end))
                state = _state(plug, switch, fault, part, touch, wirings[0], limit)
                to_earth.append(_with_worst_case(state, other_touch, limit) if at_end else state)
            for one, other in pairs:
                touch, other_touch = (_worst_at(found, solved, one.node, other.node) for found in (networks, at_end))
                over = over_limit(other_touch, limit) if other_touch else None
                between.append(_between(plug, switch, fault, one, other, touch, limit, over))
    return tuple(to_earth), tuple(between)


def _worst_at(networks: Sequence[Solution | None], solved: Solved, node: str, other: str = EARTH) -> Touch | None:
    return worst_touch([solved.touch(network, node, other) for network in networks])


def _with_worst_case(state: TouchState, touch: Touch | None, limit: TouchLimit) -> TouchState:
    if touch is None:
        return replace(state, worst_case_over_limit=state.over_limit)
    return replace(
        state,
        worst_case_amps_rms=_without_dust(touch.amps_rms),
        worst_case_amps_peak=_without_dust(touch.amps_peak),
        worst_case_over_limit=over_limit(touch, limit),
    )


def faults_by_name(wirings: Sequence[Wiring]) -> dict[str, list[tuple[Wiring, SingleFault]]]:
    """The faults of all wirings by name, each with the wiring it belongs to."""
    found: dict[str, list[tuple[Wiring, SingleFault]]] = {}
    for wiring in wirings:
        for fault in faults_of(wiring):
            found.setdefault(fault.name, []).append((wiring, fault))
    return found


def networks_of(
    found: Iterable[tuple[Wiring, SingleFault]], plug: str, switch: str
) -> list[tuple[NetworkElement, ...]]:
    """The networks a fault may leave in one position; empty where the switch has no such position."""
    networks = [
        network(left, plug, switch, fault.broken)
        for whole, fault in found
        if switch in whole.switch_ways()
        for left in fault.wirings
    ]
    return networks if len(networks) < 2 else list(dict.fromkeys(networks))


def worst_touch(touches: Iterable[Touch | None]) -> Touch | None:
    """The worst of several: a short circuit (None), then the most current, then the most volts."""
    worst: Touch | None = None
    for touch in touches:
        if touch is None:
            return None
        if worst is None or _badness(touch) > _badness(worst):
            worst = touch
    return worst


def _badness(touch: Touch) -> tuple[float, float]:
    return touch.amps_rms, -1.0 if touch.no_load_volts is None else touch.no_load_volts


def _state(
    plug: str, switch: str, fault: str, part: ReachablePart, touch: Touch | None, wiring: Wiring, limit: TouchLimit
) -> TouchState:
    if touch is None:
        meant = wiring.double_wound and wiring.earthed
        over = True if not meant and (not part.barrier or is_wired(part.barrier)) else None
        return TouchState(
            plug, switch, fault, part.name, None, None, None, over, part.listed, *(None,) * 4, True, True, None, None
        )
    devices = {} if touch.direct else RESIDUAL_CURRENT_DEVICES
    trips = {name: trip(touch.unweighted_amps, device) for name, device in devices.items()}
    unlimited = math.isinf(touch.prospective_amps)
    return TouchState(
        plug=plug,
        switch=switch,
        fault=fault,
        part=part.name,
        no_load_volts=_without_dust(touch.no_load_volts),
        touch_amps_rms=_without_dust(touch.amps_rms),
        touch_amps_peak=_without_dust(touch.amps_peak),
        over_limit=over_limit(touch, limit),
        listed=part.listed,
        u1_volts=_without_dust(touch.u1_volts),
        u2_volts=_without_dust(touch.u2_volts),
        body_amps=_without_dust(touch.unweighted_amps),
        prospective_amps=None if unlimited else _without_dust(touch.prospective_amps),
        short_circuit=False,
        short_circuit_if_earthed=unlimited,
        residual_current_device_5_ma=trips.get("5 mA"),
        residual_current_device_30_ma=trips.get("30 mA"),
    )


def _between(
    plug: str,
    switch: str,
    fault: str,
    one: ReachablePart,
    other: ReachablePart,
    touch: Touch | None,
    limit: TouchLimit,
    worst_case_over: bool | None,
) -> BetweenState:
    if touch is None:
        return BetweenState(plug, switch, fault, one.name, other.name, None, None, None, None)
    return BetweenState(
        plug,
        switch,
        fault,
        one.name,
        other.name,
        _without_dust(touch.no_load_volts),
        _without_dust(touch.amps_rms),
        _without_dust(touch.amps_peak),
        over_limit(touch, limit),
        worst_case_over,
    )


def _without_dust(value: float | None) -> float | None:
    """A value without what is left of rounding where the sum is 0: far below a picoampere or a nanovolt."""
    return 0.0 if value is not None and abs(value) < _DUST else value


def gravity(state: TouchState) -> tuple[float, bool, float]:
    """By what states are ordered: the current through a hand, then a short circuit of the line, then the volts."""
    return state.touch_amps_rms or 0.0, state.short_circuit, state.no_load_volts or 0.0


def worst(states: Iterable[TouchState]) -> TouchState | None:
    """The worst of some states, None where there is none; of equals the first."""
    return max(states, key=gravity, default=None)


def without_fault(states: Iterable[TouchState]) -> tuple[TouchState, ...]:
    """The states in which nothing is wrong with the set."""
    return tuple(s for s in states if s.fault == NONE)
