"""A first filter capacitor that has lost its capacitance: what the rectifier still gives, found in the time domain.

The reservoir is no longer smooth, so its mean current does not follow from its mean volts alone. A resistance stands
for the set, as what draws current falls with the voltage; the state that returns to itself after one period is found
by the secant method, for several capacitances and loads at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .reservoir import Charging

    Floats = NDArray[np.float64]

__all__ = ["dried_out", "steady_means"]

LOADS = (0.5, 1.0, 2.0, 6.0)
"""Of the set's own resistance: where the tables have their points."""

_STEPS = 240
_ROUNDS = 3
_POINTS = 300
_LEAST_OHMS = 0.1


def dried_out(charging: Charging, farads: Sequence[float], hertz: float, load_ohms: float) -> tuple[Charging, ...]:
    """What charges a reservoir of each of ``farads``: the same rectifier with its table of volts and amperes.

    ``load_ohms`` is about what the set draws from B+, as its volts over its current. Of stacked ones all are such.
    """
    load_ohms /= charging.stacked
    rows = [(farad, load_ohms * share) for farad in farads for share in LOADS]
    volts = steady_means(charging, [farad for farad, _ in rows], hertz, [ohms for _, ohms in rows])
    tables = []
    for n in range(len(farads)):
        own = range(n * len(LOADS), (n + 1) * len(LOADS))
        tables.append(tuple(sorted((volts[row], volts[row] / rows[row][1]) for row in own)))
    return tuple(replace(charging, table=table) for table in tables)


def steady_means(charging: Charging, farads: Sequence[float], hertz: float, ohms: Sequence[float]) -> list[float]:
    """The mean volts of reservoirs of ``farads`` that feed ``ohms``, once each period is like the one before.

    Raises ValueError unless all are above zero.
    """
    import numpy as np

    if not (hertz > 0 and all(farad > 0 for farad in farads) and all(ohm > 0 for ohm in ohms)):
        raise ValueError("Capacitances, loads and the frequency must be above zero.")
    amps_at = _amps_by_volts(charging)
    capacitance, load = np.array(farads, dtype=float), np.array(ohms, dtype=float)
    seconds = 1 / hertz if charging.paths == 1 else 0.5 / hertz
    before = np.full(len(capacitance), 0.9 * charging.peak_volts)
    ended, mean = _period(before, charging.peak_volts, seconds, hertz, capacitance, load, amps_at)
    missed, start = ended - before, ended
    for _ in range(_ROUNDS):
        ended, mean = _period(start, charging.peak_volts, seconds, hertz, capacitance, load, amps_at)
        miss = ended - start
        turn = miss - missed
        step = np.where(np.abs(turn) > 1e-9, -miss * (start - before) / np.where(turn == 0, 1.0, turn), miss)
        before, missed = start, miss
        start = np.clip(start + step, 0.0, charging.peak_volts)
    return [float(value) for value in mean]


def _amps_by_volts(charging: Charging) -> tuple[Floats, Floats]:
    """The current that a voltage across rectifier and series resistance drives, as a table by that voltage.

    From the drop x of the rectifier: K x^1.5 flows, and x + R K x^1.5 is across both.
    """
    import numpy as np

    ohms = max(charging.ohms, _LEAST_OHMS)
    if charging.perveance is None:
        amps = np.array([0.0, charging.peak_volts / ohms])
        return charging.drop_volts + amps * ohms, amps
    # Finer near zero, where the law bends most.
    drop = charging.peak_volts * np.linspace(0.0, 1.0, _POINTS) ** 2
    amps = charging.perveance * drop**1.5
    return drop + ohms * amps, amps


def _period(
    start: Floats,
    peak: float,
    seconds: float,
    hertz: float,
    farads: Floats,
    ohms: Floats,
    table: tuple[Floats, Floats],
) -> tuple[Floats, Floats]:
    """The volts at the end of a period that begins with ``start``, and their mean over it.

    Euler's method backwards with the current's slope at the step's start, which is stable for any capacitance.
    """
    import numpy as np

    across, amps = table
    slopes, inner = np.diff(amps) / np.diff(across), across[1:-1]
    width = seconds / _STEPS
    source = peak * np.sin(2 * np.pi * hertz * width * (np.arange(_STEPS) + 1))
    volts, total = start, np.zeros_like(start)
    for driven in source:
        over = driven - volts
        flow = np.interp(over, across, amps)
        slope = slopes[inner.searchsorted(over)] * (over > across[0])
        volts = volts + (flow - volts / ohms) * width / (farads + width * (slope + 1 / ohms))
        total = total + volts
    return volts, total / _STEPS
