"""Rectifier and filter in the time domain: the steady state of one period, found by shooting."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise

from .rectifier import Filter, SteadyState, Supply, root_mean_square

__all__ = ["solve"]

_LEAST_STEPS, _MOST_STEPS = 360, 4000
_SMALLEST_OHMS = 0.5
_ROUNDS = 14
_SETTLED = 1e-5
_KEPT_WHILE = 3.0
"""The slopes are used again as long as each round brings the miss down by this much."""


@lru_cache(maxsize=256)
def solve(supply: Supply, circuit: Filter, near: tuple[float, ...] | None = None) -> SteadyState:
    """The steady state: the period is integrated (Heun), and its start is sought by Newton until it returns to itself.

    ``near`` is the ``start`` of a like circuit, to begin from; it saves time and changes nothing else.

    Raises ValueError for a filter without capacitors, values that are not above zero, or a time constant that is too
    short beside the period to be followed.
    """
    if not circuit.taps or any(not t.farads > 0 for t in circuit.taps):
        raise ValueError("a filter needs capacitors above zero")
    for tap in circuit.taps[1:]:
        if not (tap.series_ohms > 0 or tap.series_henries > 0):
            raise ValueError("something must lead from one capacitor to the next")
    if supply.kind == "cascade doubler" and not circuit.input_farads:
        raise ValueError("a cascade doubler needs its series capacitor")
    net = _Net(supply, circuit)
    steps = net.steps()
    start = net.guess()
    start = list(near) if near and len(near) == len(start) else start
    settled = False
    slopes: list[list[float]] | None = None
    worst = math.inf
    for _ in range(_ROUNDS):
        end = net.period(start, steps)
        miss = [e - s for e, s in zip(end, start, strict=True)]
        before, worst = worst, max(abs(m) for m in miss)
        if worst <= _SETTLED * supply.peak_volts:
            settled = True
            break
        if slopes is None or worst > before / _KEPT_WHILE:
            slopes = _slopes(net, start, end, steps)
        change = _eliminate([[*row, -m] for row, m in zip(slopes, miss, strict=True)])
        start = end if change is None else [s + d for s, d in zip(start, change, strict=True)]
    return net.record(start, steps, settled)


def _slopes(net: _Net, start: list[float], end: list[float], steps: int) -> list[list[float]]:
    """J - 1 by differences: how the end of the period follows its start, less the start itself."""
    size = len(start)
    columns = []
    for i in range(size):
        nudge = net.nudge(i)
        moved = net.period([s + (nudge if j == i else 0.0) for j, s in enumerate(start)], steps)
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


class _Net:
    """The circuit's equations. The state is the capacitors' volts, then the chokes' amperes."""

    def __init__(self, supply: Supply, circuit: Filter) -> None:
        self.supply, self.taps = supply, circuit.taps
        self.ohms = max(supply.ohms, _SMALLEST_OHMS)
        self._drawn = 0.0
        self.extra = 1 if supply.kind in ("doubler", "cascade doubler") else 0
        self.input_farads = circuit.input_farads or circuit.taps[0].farads
        self.chokes = [i for i, t in enumerate(circuit.taps) if i and t.series_henries > 0]
        self.flow: Callable[[float, list[float]], tuple[float, float]] = {
            "half-wave": self._half,
            "full-wave": self._full,
            "doubler": self._doubler,
            "cascade doubler": self._cascade,
        }[supply.kind]

    def steps(self) -> int:
        """So many that the fastest time constant takes at least three steps."""
        taps = self.taps
        farads = min([t.farads for t in taps] + ([self.input_farads] if self.extra else []))
        fastest = (self.ohms + taps[0].esr_ohms) * min(farads, taps[0].farads)
        for before, tap in pairwise(taps):
            ohms = tap.series_ohms + tap.esr_ohms
            if not tap.series_henries and ohms:
                fastest = min(fastest, ohms * min(tap.farads, before.farads))
        wanted = max(3 / (self.supply.hertz * fastest), _LEAST_STEPS) if fastest > 0 else math.inf
        if wanted > _MOST_STEPS:
            raise ValueError(f"a time constant of {fastest:.2g} s is too short beside the period")
        return int(wanted)

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
        return [*first, *later, *amps]

    def nudge(self, index: int) -> float:
        return 1e-3 * self.supply.peak_volts if index < self.extra + len(self.taps) else 1e-4

    def _half(self, source: float, state: list[float]) -> tuple[float, float]:
        one = self.supply.rectifier.amps(source - state[0] - self.taps[0].esr_ohms * -self._drawn, self._loop())
        return one, 0.0

    def _full(self, source: float, state: list[float]) -> tuple[float, float]:
        rectifier, held = self.supply.rectifier, state[0] + self.taps[0].esr_ohms * -self._drawn
        if source >= 0:
            return rectifier.amps(source - held, self._loop()), 0.0
        return 0.0, rectifier.amps(-source - held, self._loop())

    def _doubler(self, source: float, state: list[float]) -> tuple[float, float]:
        rectifier = self.supply.rectifier
        if source >= 0:
            return rectifier.amps(source - state[0], self._loop()), 0.0
        return 0.0, rectifier.amps(-source - state[1], self._loop())

    def _cascade(self, source: float, state: list[float]) -> tuple[float, float]:
        """The series capacitor is charged on the negative half and adds to the line on the positive one."""
        rectifier = self.supply.rectifier
        through = rectifier.amps(source + state[0] - state[1] + self.taps[0].esr_ohms * self._drawn, self._loop())
        charging = rectifier.amps(-source - state[0], self.ohms)
        return through, charging

    def _loop(self) -> float:
        return self.ohms + self.taps[0].esr_ohms

    def slope(self, seconds: float, state: list[float]) -> tuple[list[float], tuple[float, float], list[float]]:
        """Derivatives, the two paths' currents, and the volts at each tap."""
        taps, count = self.taps, len(self.taps)
        head = self.extra + 1
        held = [*([state[0] + state[1]] if self.supply.kind == "doubler" else [state[head - 1]]), *state[head:]]
        onward = self._onward(held, state)
        self._drawn = taps[0].load_amps + (onward[1] if count > 1 else 0.0)
        source = self.supply.volts(seconds)
        one, two = self.flow(source, state)
        into = (one + two if self.supply.kind == "full-wave" else one) - self._drawn
        slopes = self._first_slopes(one, two)
        volts = [held[0] + (0.0 if self.supply.kind == "doubler" else taps[0].esr_ohms * into)]
        for i in range(1, count):
            net = onward[i] - taps[i].load_amps - (onward[i + 1] if i + 1 < count else 0.0)
            slopes.append(net / taps[i].farads)
            volts.append(held[i] + taps[i].esr_ohms * net)
        for i in self.chokes:
            slopes.append((volts[i - 1] - volts[i] - onward[i] * taps[i].series_ohms) / taps[i].series_henries)
        return slopes, (one, two), volts

    def _first_slopes(self, one: float, two: float) -> list[float]:
        farads, drawn = self.taps[0].farads, self._drawn
        if self.supply.kind == "doubler":
            return [(one - drawn) / farads, (two - drawn) / farads]
        if self.supply.kind == "cascade doubler":
            return [(two - one) / self.input_farads, (one - drawn) / farads]
        return [(one + two - drawn) / farads]

    def _onward(self, held: list[float], state: list[float]) -> list[float]:
        """Currents into each tap from the one before. ESR behind a resistor is counted into that resistor."""
        taps = self.taps
        chokes = iter(state[self.extra + len(taps) :])
        flows = [0.0]
        for i in range(1, len(taps)):
            if taps[i].series_henries:
                flows.append(next(chokes))
            else:
                flows.append(
                    (held[i - 1] - held[i] + taps[i].esr_ohms * taps[i].load_amps)
                    / (taps[i].series_ohms + taps[i].esr_ohms)
                )
        return flows

    def period(self, start: list[float], steps: int) -> list[float]:
        width = 1 / self.supply.hertz / steps
        state = start
        for i in range(steps):
            state = self._step(i * width, state, width)
        return state

    def _step(self, at: float, state: list[float], width: float) -> list[float]:
        first = self.slope(at, state)[0]
        ahead = [s + width * d for s, d in zip(state, first, strict=True)]
        second = self.slope(at + width, ahead)[0]
        return [s + width / 2 * (a + b) for s, a, b in zip(state, first, second, strict=True)]

    def record(self, start: list[float], steps: int, settled: bool) -> SteadyState:
        width = 1 / self.supply.hertz / steps
        state, seconds = start, []
        volts: list[list[float]] = [[] for _ in self.taps]
        ones, twos, into = [], [], []
        for i in range(steps):
            _, (one, two), at = self.slope(i * width, state)
            seconds.append(i * width)
            for listed, value in zip(volts, at, strict=True):
                listed.append(value)
            ones.append(one)
            twos.append(two)
            into.append(one + (two if self.supply.kind == "full-wave" else 0.0) - self._drawn)
            state = self._step(i * width, state, width)
        return SteadyState(
            mean_volts=tuple(sum(v) / steps for v in volts),
            ripple_volts=tuple(max(v) - min(v) for v in volts),
            peak_amps=max(*ones, *twos),
            rms_amps=root_mean_square(ones),
            mean_amps=sum(ones) / steps,
            capacitor_rms_amps=root_mean_square(into),
            seconds=tuple(seconds),
            volts=tuple(tuple(v) for v in volts),
            amps=tuple(a - b for a, b in zip(ones, twos, strict=True)),
            settled=settled,
            start=tuple(start),
        )
