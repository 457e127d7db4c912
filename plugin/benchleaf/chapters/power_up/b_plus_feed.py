"""The rectifier's current at any line voltage: loads as read, or as the set's own circuit has them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.closed.closing import close
from ...electrics.rectifier import Filter, FilterTap, Rectifier, SteadyState, Supply
from ..supply.found import described
from ..supply.waveforms import b_minus_volts, rectifier_of, supply_of, values_of

if TYPE_CHECKING:
    from ...electrics.reservoir import Charging
    from ..bench import Bench
    from ..parts.findings import PartsFindings

LOAD_EXPONENTS = (1.0, 1.5)
"""Between what resistors draw as the volts change and what tubes do by the three-halves law."""
ASSUMED_FARADS = 20e-6
"""A reservoir nobody wrote. Common practice, no source."""


def _nothing_below(_share: float) -> float:
    """Of a reservoir that ends at the chassis."""
    return 0.0


@dataclass(frozen=True)
class BPlusFeed:
    """The rectifier of a set at any line. ``run`` gives its steady state at line volts and a share of its full load.

    ``shares`` gives, for line volts, the lowest, the likely and the highest share; ``ratio`` is what a winding's volts
    are of the line's, 1 straight from the line. ``rests_on`` and ``assumed`` say what it was worked out from.
    ``below`` gives, for a share of the full load, how far the foot of the reservoir lies below the chassis.
    """

    run: Callable[[float, float], SteadyState]
    shares: Callable[[float], tuple[float, float, float]]
    ratio: float
    rests_on: tuple[str, ...]
    assumed: tuple[str, ...] = ()
    below: Callable[[float], float] = _nothing_below


def b_plus_feed(bench: Bench, parts: PartsFindings | None, lines: Sequence[float]) -> BPlusFeed | tuple[str, ...]:
    """The feed for a number of line voltages, or what the record would have to give, in half sentences."""
    if bench.circuit.mains.direct or bench.circuit.mains.vibrator:
        return (f"an alternating {bench.words.line}",)
    found, lacks = described(bench, parts) if parts is not None else (None, ())
    if found is None:
        return _by_the_circuit(bench, parts, lines) or lacks or ("the rectifier and what it feeds",)
    values = [values_of(stage.now) for stage in found.stages]
    if any(not farads for farads, _ in values):
        return (f"the value of each {bench.words.filter_capacitor}",)
    by_circuit = _currents(bench, found.read_in, found.load_line_volts, lines)
    likely = (
        "at other lines as the set’s own circuit has it"
        if by_circuit
        else "at other lines by its power of 1 to 1.5 (resistors, and the three-halves law)"
    )
    read = f"the load of {bench.words.rail.format(1)} as read ({found.read_in or 'no list'}), {likely}"
    farads, esr = values[0]
    tap = FilterTap(farads or ASSUMED_FARADS, esr, math.fsum(stage.load_amps for stage in found.stages))
    return BPlusFeed(
        _Reservoir(supply_of(found, 1.0, rectifier_of(found)), tap),
        _shares(found.load_line_volts, by_circuit),
        1.0 if bench.circuit.mains.straight_from_line else found.volts_per_line_volt / math.sqrt(2),
        (read,),
        found.assumed,
        lambda share: b_minus_volts(found, found.load_line_volts) * share if found.on_b_minus else 0.0,
    )


@dataclass(frozen=True, slots=True)
class _Reservoir:
    """A rectifier into its reservoir with all of the load on it: what lies behind does not change the line's current.

    ``tap`` holds the full load; the ``feeding`` is that of a line of one volt.
    """

    feeding: Supply
    tap: FilterTap

    def __call__(self, line_volts: float, share: float) -> SteadyState:
        from ...electrics.steady_state import solve

        supply = replace(self.feeding, peak_volts=self.feeding.peak_volts * line_volts)
        tap = replace(self.tap, load_amps=self.tap.load_amps * share)
        return solve(supply, Filter((tap,), tap.farads if supply.kind == "cascade doubler" else None))


def _shares(full_at: float, by_circuit: Mapping[float, float]) -> Callable[[float], tuple[float, float, float]]:
    """By the circuit where it says so; else by a rule, its ends as far apart as what loads may be."""

    def at(line_volts: float) -> tuple[float, float, float]:
        known = by_circuit.get(line_volts)
        if known is not None:
            return known, known, known
        low, high = sorted((line_volts / full_at) ** exponent for exponent in LOAD_EXPONENTS)
        return low, math.sqrt(low * high), high

    return at


def _charged(bench: Bench, run: str, full_at: float, lines: Sequence[float]) -> tuple[Charging, dict[float, float]]:
    """What charges the reservoir at the line of the full load, and the mean current of it at each line.

    Raises ValueError where the set does not close, or one of its lines has no solution.
    """
    import numpy as np

    from ...electrics.dc_elements import DcVariant
    from ...electrics.dc_network import solve
    from ...electrics.reservoir import mean_amps

    closed = close(bench.circuit, run, line_volts=full_at)
    if closed.net is None or len(closed.net.rectifiers) != 1:
        raise ValueError("the set does not close")
    net, rectifier = closed.net, closed.net.rectifiers[0]
    every = (full_at, *lines)
    charging = [replace(rectifier.charging, peak_volts=rectifier.charging.peak_volts * v / full_at) for v in every]
    variants = tuple(
        DcVariant(
            held=tuple((one.name, one.volts * volts / full_at) for one in net.held), charging=((rectifier.name, its),)
        )
        for volts, its in zip(every, charging, strict=True)
    )
    solved = solve(net, variants)
    if not bool(np.all(solved.converged)):
        raise ValueError("a line without a solution")
    amps, _ = mean_amps(charging, solved.volts[:, rectifier.node] - solved.volts[:, rectifier.bottom])
    return charging[0], dict(zip(every, map(float, amps), strict=True))


def _currents(bench: Bench, run: str, full_at: float, lines: Sequence[float]) -> dict[float, float]:
    """By line voltage the share of the full load, by the set's own circuit; empty where it does not close."""
    try:
        _, amps = _charged(bench, run, full_at, lines)
    except ValueError:
        return {}
    full = amps[full_at]
    return {volts: one / full for volts, one in amps.items()} if full > 0 else {}


def _by_the_circuit(bench: Bench, parts: PartsFindings | None, lines: Sequence[float]) -> BPlusFeed | None:
    """Where nothing was read yet: all of the load as the set's own circuit has it, on the reservoir."""
    mains = bench.circuit.mains
    if mains.volts is None or mains.hertz is None:
        return None
    full_at, hertz = mains.volts.nominal, mains.hertz
    try:
        charging, amps = _charged(bench, "", full_at, lines)
    except ValueError:
        return None
    full = amps[full_at]
    farads = _reservoir(parts)
    if not full > 0:
        return None
    kind = "full-wave" if charging.paths == 2 else "half-wave"
    rectifier = Rectifier(charging.perveance, charging.drop_volts)
    tap = FilterTap(farads or ASSUMED_FARADS, load_amps=full)
    return BPlusFeed(
        _Reservoir(Supply(kind, charging.peak_volts / full_at, hertz, charging.ohms, rectifier), tap),
        _shares(full_at, {volts: one / full for volts, one in amps.items()}),
        1.0 if mains.straight_from_line else charging.peak_volts / math.sqrt(2) / full_at,
        (f"the load of {bench.words.rail.format(1)} as the set’s own circuit has it",),
        () if farads else ("20 µF behind the rectifier",),
    )


def _reservoir(parts: PartsFindings | None) -> float | None:
    rows = parts.rows() if parts else ()
    now = (row.at("now") for row in rows if row.group == "filter")
    return next((there.value for there in now if there.unit == "F" and there.value), None)
