"""The volts of a winding that were read on load, taken back to no load by the current that the closed set draws."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcNet
    from ..winding_source import WindingSource

_LEAST_AMPS = 1e-6


def on_its_own_load(net: DcNet, source: WindingSource, share: float, amps: float) -> tuple[DcNet, float]:
    """The network with its one rectifier fed as the set's own current has it, and the volts RMS without load.

    ``share`` are the volts of the network's line over those of the reading, ``amps`` the current to begin with. The
    current that a first guess leads to and the one that this leads to are on a straight line (regula falsi). Where the
    network has no solution the guess stands.
    """
    first = _solved_amps(net)
    if first is None or not first > _LEAST_AMPS:
        return net, source.no_load(amps).volts
    again = _solved_amps(_fed_by(net, source, share, first))
    if again is None:
        return net, source.no_load(amps).volts
    slope = (again - first) / (first - amps) if first != amps else 0.0
    settled = first + (again - first) / (1 - slope) if slope < 1 else again
    return _fed_by(net, source, share, max(settled, 0.0)), source.no_load(max(settled, 0.0)).volts


def _fed_by(net: DcNet, source: WindingSource, share: float, amps: float) -> DcNet:
    (rectifier,) = net.rectifiers
    peak = math.sqrt(2) * source.no_load(amps).volts * share
    return replace(net, rectifiers=(replace(rectifier, charging=replace(rectifier.charging, peak_volts=peak)),))


def _solved_amps(net: DcNet) -> float | None:
    """What the rectifier gives; None where there is no solution."""
    from ...electrics.dc_elements import DcVariant
    from ...electrics.dc_network import solve
    from ...electrics.reservoir import mean_amps

    (rectifier,) = net.rectifiers
    solved = solve(net, (DcVariant(),))
    if not bool(solved.converged[0]):
        return None
    amps, _ = mean_amps([rectifier.charging], solved.volts[:, rectifier.node] - solved.volts[:, rectifier.bottom])
    return float(amps[0])
