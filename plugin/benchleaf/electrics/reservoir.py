"""The mean current of a rectifier into a smooth reservoir: the supply as an element without memory.

Schade's diagrams (1943) treat the same circuit. The reservoir is taken as so large that its voltage stands still over a
period; for one that has dried out the time domain (``steady_state``) makes a table to put in place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["Charging", "Chargings", "bank", "mean_amps"]

_ANGLES = 16
_STEPS = 12
_UNTIL_SETTLED = 5
"""Before so many steps nothing has settled yet."""
_LEAST_OHMS = 0.1


@dataclass(frozen=True, slots=True)
class Charging:
    """What charges a reservoir: ``paths`` 1 half-wave or 2 full-wave, the peak of one side in volts, ohms in series.

    ``perveance`` K of one path in A/V^1.5, or None for a dry rectifier of constant ``drop_volts``. ``table`` holds
    pairs of volts and amperes, volts rising, and stands in place of all else: what the time domain found for a
    reservoir that is not smooth. ``stacked`` such reservoirs stand in series (2: a voltage doubler). Below 0.1 ohm
    counts as 0.1.
    """

    paths: int
    peak_volts: float
    ohms: float
    perveance: float | None = None
    drop_volts: float = 0.0
    table: tuple[tuple[float, float], ...] = ()
    stacked: int = 1


@dataclass(frozen=True, slots=True, eq=False)
class Chargings:
    """Several rectifiers as arrays, made once for all voltages that are tried: see ``bank``.

    ``kinds`` says of each by what law it charges; ``perveance`` is not a number where there is none.
    """

    each: tuple[Charging, ...]
    kinds: NDArray[np.int64]
    paths: Floats
    peak_volts: Floats
    ohms: Floats
    perveance: Floats
    drop_volts: Floats
    stacked: Floats

    def rows(self, chosen: Sequence[int] | NDArray[np.int64]) -> Chargings:
        """Only some of them."""
        return Chargings(
            tuple(self.each[n] for n in chosen),
            self.kinds[chosen],
            self.paths[chosen],
            self.peak_volts[chosen],
            self.ohms[chosen],
            self.perveance[chosen],
            self.drop_volts[chosen],
            self.stacked[chosen],
        )


def bank(each: Sequence[Charging]) -> Chargings:
    """Several rectifiers as arrays."""
    import numpy as np

    def array(name: str) -> Floats:
        return np.array([getattr(one, name) for one in each], dtype=float)

    kinds = np.array([_kind(one) for one in each], dtype=np.int64)
    ohms = np.maximum(array("ohms"), _LEAST_OHMS)
    names = ("perveance", "drop_volts", "stacked")
    return Chargings(tuple(each), kinds, array("paths"), array("peak_volts"), ohms, *map(array, names))


def mean_amps(charging: Sequence[Charging] | Chargings, volts: Floats) -> tuple[Floats, Floats]:
    """The mean current into a reservoir at ``volts``, and its slope a volt, for each of several rectifiers.

    ``(paths/pi)`` times the integral of the current from the angle at which it starts to the peak (Gauss-Legendre).
    """
    import numpy as np

    charging = charging if isinstance(charging, Chargings) else bank(charging)
    volts = volts / charging.stacked
    amps, slopes = np.zeros(len(volts)), np.zeros(len(volts))
    for kind, work in enumerate((_tube, _dry, _table)):
        rows = np.flatnonzero(charging.kinds == kind)
        if len(rows) == len(volts):
            amps, slopes = work(charging, volts)
        elif rows.size:
            amps[rows], slopes[rows] = work(charging.rows(rows), volts[rows])
    return amps, slopes / charging.stacked


_TUBE, _DRY, _TABLE = range(3)


def _kind(charging: Charging) -> int:
    if charging.table:
        return _TABLE
    return _DRY if charging.perveance is None else _TUBE


@cache
def _gauss() -> tuple[Floats, Floats]:
    """Points between -1 and 1 and their weights."""
    import numpy as np

    points, weights = np.polynomial.legendre.leggauss(_ANGLES)
    return points, weights


def _tube(charging: Chargings, volts: Floats) -> tuple[Floats, Floats]:
    import numpy as np

    peak, paths, ohms, perveance = charging.peak_volts, charging.paths, charging.ohms, charging.perveance
    start = np.arcsin(np.clip(volts / peak, -1.0, 1.0))
    points, weights = _gauss()
    half = (np.pi / 2 - start) / 2
    angles = start[:, None] + half[:, None] * (1 + points)
    over = np.maximum(peak[:, None] * np.sin(angles) - volts[:, None], 0.0)
    scale = (perveance * ohms)[:, None]
    before = drop = np.minimum(over, (over / scale) ** (2 / 3))
    for left in reversed(range(_STEPS)):
        root = np.sqrt(drop)
        after = np.maximum(drop - (scale * drop * root + drop - over) / (1.5 * scale * root + 1), 0.0)
        if left < _STEPS - _UNTIL_SETTLED and np.array_equal(after, before):
            # Two values take turns in their last digit: the one that the last step would leave.
            drop = drop if left % 2 else after
            break
        before, drop = drop, after
    current = perveance[:, None] * drop**1.5
    slope = -1.5 * perveance[:, None] * np.sqrt(drop) / (1.5 * scale * np.sqrt(drop) + 1)
    mean = paths / np.pi * half
    return mean * (current @ weights), mean * (slope @ weights)


def _dry(charging: Chargings, volts: Floats) -> tuple[Floats, Floats]:
    """A constant drop and a resistance: the integral in closed form."""
    import numpy as np

    peak, paths, ohms = charging.peak_volts, charging.paths, charging.ohms
    against = volts + charging.drop_volts
    start = np.arcsin(np.clip(against / peak, -1.0, 1.0))
    width = np.pi / 2 - start
    scale = paths / (np.pi * ohms)
    return scale * (peak * np.cos(start) - against * width), -scale * width


def _table(charging: Chargings, volts: Floats) -> tuple[Floats, Floats]:
    """Between the points of a table by straight lines, beyond its ends along the last of them, never below zero."""
    import numpy as np

    amps, slopes = np.zeros(len(charging.each)), np.zeros(len(charging.each))
    for n, one in enumerate(charging.each):
        at, flows = np.array(one.table).T
        piece = int(np.clip(np.searchsorted(at, volts[n]) - 1, 0, len(at) - 2))
        slope = (flows[piece + 1] - flows[piece]) / (at[piece + 1] - at[piece])
        value = flows[piece] + slope * (volts[n] - at[piece])
        amps[n], slopes[n] = (value, slope) if value > 0 else (0.0, 0.0)
    return amps, slopes
