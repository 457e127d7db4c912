"""What a meter shows in a network: it draws current, and the tubes behind the place work differently for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .dc_elements import DcBranch, DcNet, DcVariant
from .dc_network import DcSolution, solve

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

NEAR_FIRST = 0.05
"""A variant in which a place and what is behind it are so near the first's takes over what the meter does there."""

__all__ = ["DcMeter", "MeterReadings", "meter_readings"]

FELT_SHARE, FELT_VOLTS = 0.05, 0.2
"""A meter that takes less than this of the volts, as a share or in volts, is left to the slope at the place."""


@dataclass(frozen=True, slots=True)
class DcMeter:
    """A meter of ``ohms`` between a node and the node that volts are told against."""

    node: int
    ohms: float
    to: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class MeterReadings:
    """What meters show: ``volts`` [variant, meter]; ``slopes`` [variant, meter, parameter] as those of the solution.

    ``shares`` [variant, meter] are what a meter leaves of the volts.
    """

    volts: NDArray[np.float64]
    slopes: NDArray[np.float64]
    shares: NDArray[np.float64]


def meter_readings(
    net: DcNet, variants: Sequence[DcVariant], solution: DcSolution, meters: Sequence[DcMeter]
) -> MeterReadings:
    """What each meter shows by itself in each variant. ``solution`` is that of the variants without a meter.

    Where a meter takes much, the network is solved with it: it may become the cathode's resistor, or the plate's load.
    That is done for the first variant, and for others as far as they differ from it at the place.
    """
    import numpy as np

    nodes, to = [meter.node for meter in meters], [meter.to for meter in meters]
    ohms = np.array([meter.ohms for meter in meters])
    away = solution.volts[:, nodes] - solution.volts[:, to]
    turned = solution.slopes[:, nodes] - solution.slopes[:, to]
    shares = 1 / (1 + solution.ohms[:, nodes] / ohms)
    volts, slopes = away * shares, turned * shares[..., None]
    felt = (1 - shares > FELT_SHARE) & (np.abs(away - volts) > FELT_VOLTS) & solution.converged[:, None]
    near_first = np.abs(shares / shares[:1] - 1) <= NEAR_FIRST
    near_first &= np.abs(away - away[:1]) <= NEAR_FIRST * np.abs(away[:1])
    like_first = felt & near_first & felt[:1]
    like_first[0] = False
    rows, which = np.nonzero(felt & ~like_first)
    if rows.size:
        as_if = volts[0].copy()
        with_meter = [_with(variants[row], meters[n]) for row, n in zip(rows.tolist(), which.tolist(), strict=True)]
        exact = solve(net, with_meter, slopes=bool(solution.parameters), near=solution.volts[rows])
        at, back = np.array(nodes)[which], np.array(to)[which]
        each, good = np.arange(rows.size), exact.converged
        found = exact.volts[each, at] - exact.volts[each, back]
        moved = exact.slopes[each, at] - exact.slopes[each, back]
        volts[rows[good], which[good]] = found[good]
        slopes[rows[good], which[good]] = moved[good]
        with np.errstate(divide="ignore", invalid="ignore"):
            left = np.nan_to_num(found / away[rows, which])
            more = np.where(felt[0], volts[0] / as_if, 1.0)
        shares[rows[good], which[good]] = np.clip(left, 0.0, 1.0)[good]
        volts *= np.where(like_first, more, 1.0)
        slopes *= np.where(like_first, more, 1.0)[..., None]
    return MeterReadings(volts, slopes, shares)


def _with(variant: DcVariant, meter: DcMeter) -> DcVariant:
    branch = DcBranch("meter", (meter.node, meter.to), meter.ohms)
    return replace(variant, added=(*variant.added, branch))
