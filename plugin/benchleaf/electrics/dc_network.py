"""The direct voltages of a whole set: Newton's method on its nodes, for many variants of it at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["DcSolution"]


@dataclass(frozen=True, slots=True, eq=False)
class DcSolution:
    """The solution of ``solve(net, variants)``, one row a variant.

    ``volts`` [variant, node] above node 0. ``slopes`` [variant, node, parameter]: volts for one standard deviation of
    each of ``parameters`` (last axis empty where slopes were not asked for). ``ohms`` [variant, node]: what a meter at
    the node sees towards node 0. ``plate_amps``, ``screen_amps``, ``grid_amps`` [variant, tube]; ``converged``
    [variant], and ``steps`` [variant] that it took. Volts of a variant that did not converge are not to be told.
    """

    volts: NDArray[np.float64]
    slopes: NDArray[np.float64]
    parameters: tuple[str, ...]
    ohms: NDArray[np.float64]
    plate_amps: NDArray[np.float64]
    screen_amps: NDArray[np.float64]
    grid_amps: NDArray[np.float64]
    converged: NDArray[np.bool_]
    steps: NDArray[np.int64]

    def deviations(self) -> NDArray[np.float64]:
        """One standard deviation of each voltage, [variant, node], all parameters being independent."""
        found: NDArray[np.float64] = (self.slopes**2).sum(axis=2) ** 0.5
        return found

    def loaded(self, node: int, meter_ohms: float) -> NDArray[np.float64]:
        """The volts that a meter of ``meter_ohms`` shows at a node, of each variant: the meter loads what it reads."""
        shown: NDArray[np.float64] = self.volts[:, node] * meter_ohms / (meter_ohms + self.ohms[:, node])
        return shown
