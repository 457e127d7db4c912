"""Rectifier and filter in the time domain: the steady state of one period, found by shooting."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from .later_taps import later_taps
from .rectifier import Filter, NoSteadyStateError, SteadyState, Supply, root_mean_square

__all__ = ["solve"]

_LEAST_STEPS, _MOST_STEPS = 360, 4000
_STEPS_EACH = 3
_SMALLEST_OHMS = 0.5
_ROUNDS = 30
_SETTLED = 1e-5
_KEPT_WHILE = 3.0
"""The slopes are used again as long as each round brings the miss down by this much."""
_BACK = 0.97
"""How far capacitors are let down that nothing charges in a whole period: there the slopes say nothing."""
_ROUNDING = 1e-6
_NOT_FOUND = "no period was found that ends as it began"
_TOO_MUCH = "more current is drawn than the rectifier can deliver into these capacitors"


@lru_cache(maxsize=256)
def solve(supply: Supply, circuit: Filter, near: tuple[float, ...] | None = None) -> SteadyState:
    """The steady state: the period is integrated (Heun), and its start is sought by Newton until it returns to itself.

    ``near`` is the ``start`` of a like circuit, to begin from; it saves time and changes nothing else.

    Raises ValueError for a filter without capacitors, values that are not above zero, or a time constant that is too
    short beside the period to be followed; NoSteadyStateError where the load cannot be drawn, or no period returns to
    its start. So no figure leaves this that a supply cannot have.
    """
    if not circuit.taps or any(not t.farads > 0 for t in circuit.taps):
        raise ValueError("a filter needs capacitors above zero")
    for tap in circuit.taps[1:]:
        if not (tap.series_ohms > 0 or tap.series_henries > 0):
            raise ValueError("something must lead from one capacitor to the next")
    if supply.kind == "cascade doubler" and not circuit.input_farads:
        raise ValueError("a cascade doubler needs its series capacitor")
    net = _Net(supply, circuit)
    begins = [near] if near and len(near) == len(net.guess()) else []
    came_to: list[float] = []
    for begin in (*begins, net.guess()):
        found = _returning(net, net.within(begin))
        if isinstance(found, SteadyState):
            return net.checked(found)
        came_to = found
    raise NoSteadyStateError(_TOO_MUCH if net.is_empty(came_to) else _NOT_FOUND)


def _returning(net: _Net, start: list[float]) -> SteadyState | list[float]:
    """The period that ends as it began, sought by Newton from ``start``; where it came to if it is not found."""
    slopes: list[list[float]] | None = None
    worst = math.inf
    for _ in range(_ROUNDS):
        moments: list[_Moment] = []
        end = net.period(start, moments)
        miss = [e - s for e, s in zip(end, start, strict=True)]
        before, worst = worst, max(abs(m) for m in miss)
        if worst <= _SETTLED * net.supply.peak_volts:
            return net.record(start, moments)
        if not net.charges(moments):
            start, slopes = [_BACK * s for s in start], None
            continue
        if slopes is None or worst > before / _KEPT_WHILE:
            slopes = _slopes(net, start, end)
        change = _eliminate([[*row, -m] for row, m in zip(slopes, miss, strict=True)])
        start = net.within(end if change is None else [s + d for s, d in zip(start, change, strict=True)])
    return start


def _slopes(net: _Net, start: list[float], end: list[float]) -> list[list[float]]:
    """J - 1 by differences: how the end of the period follows its start, less the start itself."""
    size = len(start)
    columns = []
    for i in range(size):
        nudge = net.nudge(i)
        moved = net.period([s + (nudge if j == i else 0.0) for j, s in enumerate(start)])
        columns.append([(m - e) / nudge for m, e in zip(moved, end, strict=True)])
    return [[columns[c][r] - (r == c) for c in range(size)] for r in range(size)]


def _eliminate(rows: list[list[float]]) -> list[float] | None:
    """Gauss with pivoting; None for a singular system."""
    size = len(rows)
    for i in range(size):
        pivot = max(range(i, size), key=lambda r: abs(rows[r][i]))
        if abs(rows[pivot][i]) < 1e-14:
            return None
        rows[i], rows[pivot] = rows[pivot], rows[i]
        for r in range(size):
            if r != i:
                factor = rows[r][i] / rows[i][i]
                rows[r] = [a - factor * b for a, b in zip(rows[r], rows[i], strict=True)]
    return [rows[i][size] / rows[i][i] for i in range(size)]


_Moment = tuple[float, float, float, list[float]]
"""Amperes of the two paths, amperes drawn from the reservoir, and the volts at each tap."""


class _Net:
    """The circuit's equations. The state is the capacitors' volts, then the chokes' amperes.

    They are asked some thousand times a period, so that what stays the same is worked out once.
    """

    def __init__(self, supply: Supply, circuit: Filter) -> None:
        self.supply, self.taps = supply, circuit.taps
        self.ohms = max(supply.ohms, _SMALLEST_OHMS)
        # A capacitor that lets go of its charge within a step bypasses nothing.
        back = min(self.ohms, supply.return_ohms) * supply.return_farads
        self.returns = back * supply.hertz * _MOST_STEPS > _STEPS_EACH
        self.ohms += 0.0 if self.returns else supply.return_ohms
        self.extra = 1 if supply.kind in ("doubler", "cascade doubler") else 0
        self.input_farads = circuit.input_farads or circuit.taps[0].farads
        self.loop = self.ohms + circuit.taps[0].esr_ohms
        self.later = later_taps(circuit.taps, self.extra)
        self.amps = supply.rectifier.path(self.loop)
        self.tops = self._tops()
        self.steps = self._steps()
        self.width = 1 / supply.hertz / self.steps
        starts = [i * self.width for i in range(self.steps)]
        self.sources = [(supply.volts(at), supply.volts(at + self.width)) for at in starts]
        self.slope = {
            "half-wave": self._of_half_wave,
            "full-wave": self._of_full_wave,
            "doubler": self._of_doubler,
            "cascade doubler": self._of_cascade,
        }[supply.kind]
        self.through_rectifier = self.slope
        if self.returns:
            self.slope = self._with_return

    def _steps(self) -> int:
        """So many that the fastest time constant takes at least ``_STEPS_EACH``."""
        taps = self.taps
        farads = min([t.farads for t in taps] + ([self.input_farads] if self.extra else []))
        fastest = (self.ohms + taps[0].esr_ohms) * min(farads, taps[0].farads)
        if self.returns:
            fastest = min(fastest, min(self.ohms, self.supply.return_ohms) * self.supply.return_farads)
        for before, tap in pairwise(taps):
            ohms = tap.series_ohms + tap.esr_ohms
            if not tap.series_henries and ohms:
                fastest = min(fastest, ohms * min(tap.farads, before.farads))
        wanted = max(_STEPS_EACH / (self.supply.hertz * fastest), _LEAST_STEPS) if fastest > 0 else math.inf
        if wanted > _MOST_STEPS:
            raise ValueError(f"a time constant of {fastest:.2g} s is too short beside the period")
        return int(wanted)

    def _tops(self) -> tuple[float, ...]:
        """The volts that no capacitor of the state can lie above."""
        one = max(self.supply.peak_volts - self.supply.rectifier.drop_volts, 0.0)
        first = {"doubler": (one, one), "cascade doubler": (one, 2 * one)}.get(self.supply.kind, (one,))
        return (*first, *((2 if self.extra else 1) * one for _ in self.taps[1:]))

    def guess(self) -> list[float]:
        peak = self.supply.peak_volts * 0.9
        total = 2 * peak if self.extra else peak
        load = sum(t.load_amps for t in self.taps)
        first = [peak, peak] if self.supply.kind == "doubler" else [peak, total] if self.extra else [peak]
        volts, later, amps = total, [], []
        for before, tap in pairwise(self.taps):
            load -= before.load_amps
            volts -= load * tap.series_ohms
            later.append(volts)
            if tap.series_henries:
                amps.append(load)
        back = [sum(t.load_amps for t in self.taps) * self.supply.return_ohms] if self.returns else []
        return [*first, *later, *amps, *back]

    def nudge(self, index: int) -> float:
        volts = index < len(self.tops) or (self.returns and index == len(self.guess()) - 1)
        return 1e-3 * self.supply.peak_volts if volts else 1e-4

    def within(self, start: Sequence[float]) -> list[float]:
        """A state that capacitors can have: none below zero, and none above what charges it."""
        tops = self.tops
        return [min(max(s, 0.0), tops[i]) if i < len(tops) else s for i, s in enumerate(start)]

    def is_empty(self, state: Sequence[float]) -> bool:
        """Whether a capacitor of a state has nothing left in it."""
        return any(volts <= 0 for volts in state[: len(self.tops)])

    def charges(self, moments: list[_Moment]) -> bool:
        """Whether each path that charges a capacitor of its own carried current in a period."""
        ones, twos = any(one > 0 for one, *_ in moments), any(two > 0 for _, two, *_ in moments)
        return ones and twos if self.extra else ones or twos

    def checked(self, state: SteadyState) -> SteadyState:
        """The state, where every figure in it is one that this supply can have. Raises NoSteadyStateError."""
        peak = self.supply.peak_volts * (2 if self.extra else 1) * (1 + _ROUNDING)
        figures = (*state.mean_volts, *state.ripple_volts, state.peak_amps, state.rms_amps, state.capacitor_rms_amps)
        within = all(0 <= volts <= peak for tap in state.volts for volts in (min(tap), max(tap)))
        if not within or not all(map(math.isfinite, figures)):
            raise NoSteadyStateError(_TOO_MUCH)
        return state

    def _with_return(self, source: float, state: list[float]) -> tuple[list[float], _Moment]:
        """The same with the capacitor across what lies in the negative return, the last of the state.

        What charges the filter charges it too, and stands against the winding's volts.
        """
        left = max(abs(source) - state[-1], 0.0)
        slopes, moment = self.through_rectifier(math.copysign(left, source), state[:-1])
        charging = moment[0] + moment[1] - state[-1] / self.supply.return_ohms
        return [*slopes, charging / self.supply.return_farads], moment

    def _of_half_wave(self, source: float, state: list[float]) -> tuple[list[float], _Moment]:
        first = self.taps[0]
        flows, drawn = self._onward(state[0], state)
        one = self.amps(source - state[0] - first.esr_ohms * -drawn)
        at = state[0] + first.esr_ohms * (one - drawn)
        return self._behind([(one - drawn) / first.farads], (one, 0.0, drawn, [at]), flows, state)

    def _of_full_wave(self, source: float, state: list[float]) -> tuple[list[float], _Moment]:
        first = self.taps[0]
        flows, drawn = self._onward(state[0], state)
        held = state[0] + first.esr_ohms * -drawn
        amps = self.amps(abs(source) - held)
        at = state[0] + first.esr_ohms * (amps - drawn)
        paths = (amps, 0.0) if source >= 0 else (0.0, amps)
        return self._behind([(amps - drawn) / first.farads], (*paths, drawn, [at]), flows, state)

    def _of_doubler(self, source: float, state: list[float]) -> tuple[list[float], _Moment]:
        farads = self.taps[0].farads
        flows, drawn = self._onward(state[0] + state[1], state)
        one = self.amps(source - state[0]) if source >= 0 else 0.0
        two = 0.0 if source >= 0 else self.amps(-source - state[1])
        slopes = [(one - drawn) / farads, (two - drawn) / farads]
        return self._behind(slopes, (one, two, drawn, [state[0] + state[1]]), flows, state)

    def _of_cascade(self, source: float, state: list[float]) -> tuple[list[float], _Moment]:
        """The series capacitor is charged on the negative half and adds to the line on the positive one."""
        first, rectifier = self.taps[0], self.supply.rectifier
        flows, drawn = self._onward(state[1], state)
        through = self.amps(source + state[0] - state[1] + first.esr_ohms * drawn)
        charging = rectifier.amps(-source - state[0], self.ohms)
        slopes = [(charging - through) / self.input_farads, (through - drawn) / first.farads]
        at = state[1] + first.esr_ohms * (through - drawn)
        return self._behind(slopes, (through, charging, drawn, [at]), flows, state)

    def _onward(self, held: float, state: list[float]) -> tuple[list[float], float]:
        """Currents into each later tap, and what the reservoir gives in all. ESR behind a resistor counts into it."""
        if not self.later:
            return [], self.taps[0].load_amps
        flows = []
        for tap in self.later:
            if tap.choke is None:
                flows.append((held - state[tap.at] + tap.esr_volts) / tap.through_ohms)
            else:
                flows.append(state[tap.choke])
            held = state[tap.at]
        return flows, self.taps[0].load_amps + flows[0]

    def _behind(
        self, slopes: list[float], moment: _Moment, flows: list[float], state: list[float]
    ) -> tuple[list[float], _Moment]:
        """The slopes of the later taps and of the chokes after those of the reservoir, and the volts at each tap."""
        if not self.later:
            return slopes, moment
        volts, of_chokes = moment[3], []
        for tap, amps, on in zip(self.later, flows, (*flows[1:], 0.0), strict=True):
            net = amps - tap.load_amps - on
            slopes.append(net / tap.farads)
            volts.append(state[tap.at] + tap.esr_ohms * net)
            if tap.choke is not None:
                of_chokes.append((volts[-2] - volts[-1] - amps * tap.series_ohms) / tap.henries)
        return slopes + of_chokes, moment

    def period(self, start: list[float], moments: list[_Moment] | None = None) -> list[float]:
        """The state one period after ``start`` (Heun); each step's beginning is added to ``moments``."""
        if len(start) == 1:
            return [self._of_reservoir(start[0], moments)]
        width, half, slope, state = self.width, self.width / 2, self.slope, start
        for source, then in self.sources:
            first, moment = slope(source, state)
            if moments is not None:
                moments.append(moment)
            second, _ = slope(then, [s + width * d for s, d in zip(state, first, strict=True)])
            state = [s + half * (a + b) for s, a, b in zip(state, first, second, strict=True)]
        return state

    def _of_reservoir(self, held: float, moments: list[_Moment] | None) -> float:
        """The same for a reservoir alone, without lists: most periods are of one, and in most of it nothing flows."""
        first, both = self.taps[0], self.supply.kind == "full-wave"
        amps, farads, drawn, width, half = self.amps, first.farads, first.load_amps, self.width, self.width / 2
        back = first.esr_ohms * -drawn
        for source, then in self.sources:
            one = amps(abs(source) - (held + back)) if both else amps(source - held - back)
            if moments is not None:
                paths = (0.0, one) if both and source < 0 else (one, 0.0)
                moments.append((*paths, drawn, [held + first.esr_ohms * (one - drawn)]))
            slope = (one - drawn) / farads
            ahead = held + width * slope
            two = amps(abs(then) - (ahead + back)) if both else amps(then - ahead - back)
            held = held + half * (slope + (two - drawn) / farads)
        return held

    def record(self, start: list[float], moments: list[_Moment]) -> SteadyState:
        """What is found of a period that began at ``start``."""
        both = self.supply.kind == "full-wave"
        ones, twos, _, _ = zip(*moments, strict=True)
        into = [one + (two if both else 0.0) - drawn for one, two, drawn, _ in moments]
        volts = tuple(zip(*(at for _, _, _, at in moments), strict=True))
        return SteadyState(
            mean_volts=tuple(sum(v) / self.steps for v in volts),
            ripple_volts=tuple(max(v) - min(v) for v in volts),
            peak_amps=max(*ones, *twos),
            rms_amps=root_mean_square(ones),
            mean_amps=sum(ones) / self.steps,
            capacitor_rms_amps=root_mean_square(into),
            seconds=tuple(i * self.width for i in range(self.steps)),
            volts=volts,
            amps=tuple(a - b for a, b in zip(ones, twos, strict=True)),
            start=tuple(start),
        )
