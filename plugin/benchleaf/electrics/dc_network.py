"""The direct voltages of a whole set: Newton's method on its nodes, for many variants of it at once."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

from .dc_elements import DcNet, DcVariant
from .dc_moved import moved as moved_by_each
from .dc_stamps import Stamps, stamped

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["DcSolution", "solve"]


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

    def rows(self, chosen: Sequence[int]) -> DcSolution:
        """The solution of some of the variants only."""
        arrays = {one.name: getattr(self, one.name)[chosen] for one in fields(self) if one.name != "parameters"}
        return replace(self, **arrays)

    def meter_share(self, node: int, meter_ohms: float) -> Floats:
        """What a meter of ``meter_ohms`` leaves of the volts at a node, of each variant: it loads what it reads."""
        share: Floats = meter_ohms / (meter_ohms + self.ohms[:, node])
        return share


_MOST_STEPS = 120
_SETTLED_VOLTS = 1e-5
_FIRST_LIMIT, _LEAST_LIMIT = 60.0, 1e-3
_FREE_STEPS = 6
_BEYOND_VOLTS = 5.0
_SETTLING_STEPS, _FIRST_SIEMENS, _STRIDE_VOLTS = 150, 0.1, 5.0


def solve(
    net: DcNet, variants: Sequence[DcVariant] = (DcVariant(),), *, slopes: bool = False, near: Floats | None = None
) -> DcSolution:
    """The direct volts of every variant of a network, and with ``slopes`` what each uncertain value does to them.

    Newton's method from zero volts, or from volts ``near`` the solution [variant, node]. A step is shortened as a
    whole where it turns back against the one before it, and lengthened again where it does not; nodes stay within
    what the highest source can give. Raises ValueError for names and nodes that the network has not. Values that no
    set has leave a variant unconverged.
    """
    import numpy as np

    with np.errstate(all="ignore"):
        stamps = stamped(net, variants)
        volts, steps, converged = _solved(stamps, near)
        _, jacobian = stamps.balance(volts)
        inverse = _inverse(jacobian)
        ohms = np.diagonal(inverse, axis1=1, axis2=2).copy()
        ohms[:, list(stamps.held_nodes)] = 0.0
        moved = -inverse @ moved_by_each(stamps, volts) if slopes else np.zeros((*volts.shape, 0))
        amps = stamps.tube_currents(volts).amps
    for row, variant in enumerate(variants):
        for name, gas in variant.grid_amps:
            amps[row, [tube.name for tube in net.tubes].index(name), 2] -= gas
    finite = np.isfinite(volts).all(axis=1) & np.isfinite(moved).all(axis=(1, 2))
    return DcSolution(
        _with_bottom(volts),
        _with_bottom(moved),
        net.parameters if slopes else (),
        _with_bottom(ohms),
        amps[:, :, 0],
        amps[:, :, 1],
        amps[:, :, 2],
        converged & finite,
        steps,
    )


def _inverse(jacobian: Floats) -> Floats:
    """The inverse of each matrix; not a number where there is none."""
    import numpy as np

    found: Floats = np.full(jacobian.shape, np.nan)
    with suppress(np.linalg.LinAlgError):
        found[:] = np.linalg.inv(jacobian)
    return found


def _step(out: Floats, jacobian: Floats) -> Floats:
    """Newton's step of each variant; not a number where there is none."""
    import numpy as np

    found: Floats = np.full(out.shape, np.nan)
    with suppress(np.linalg.LinAlgError):
        found[:] = -np.linalg.solve(jacobian, out[..., None])[..., 0]
    return found


def _with_bottom(values: Floats) -> Floats:
    """The values of all nodes, the bottom's zero before them."""
    import numpy as np

    found: Floats = np.concatenate([np.zeros_like(values[:, :1]), values], axis=1)
    return found


def _solved(stamps: Stamps, near: Floats | None) -> tuple[Floats, NDArray[np.int64], NDArray[np.bool_]]:
    """Volts, steps taken and whether each variant converged; those that do not at once are let settle first."""
    import numpy as np

    start = np.zeros(stamps.fed.shape) if near is None else near[:, 1:].copy()
    volts, steps, converged = _newton(stamps, start)
    left = np.flatnonzero(~converged)
    if left.size:
        rest = stamps.rows(left)
        volts[left], more, converged[left] = _newton(rest, _settle(rest))
        steps[left] += more + _SETTLING_STEPS
    return volts, steps, converged


def _newton(stamps: Stamps, volts: Floats) -> tuple[Floats, NDArray[np.int64], NDArray[np.bool_]]:
    """Newton's method from given volts, each step shortened where it turns back."""
    import numpy as np

    before, limit = np.zeros(volts.shape), np.full(len(volts), _FIRST_LIMIT)
    steps, converged = np.zeros(len(volts), dtype=np.int64), np.zeros(len(volts), dtype=bool)
    lowest, highest = _bounds(stamps)
    left = np.arange(len(volts))
    for number in range(1, _MOST_STEPS + 1):
        out, jacobian = stamps.balance(volts[left])
        step = _step(out, jacobian)
        turned = ((step * before[left]).sum(axis=1) < 0) & (number > _FREE_STEPS)
        largest = np.abs(step).max(axis=1)
        shorter = np.maximum(np.minimum(limit[left], largest) / 2, _LEAST_LIMIT)
        limit[left] = np.where(turned, shorter, np.minimum(1.5 * limit[left], _FIRST_LIMIT))
        step *= np.minimum(1.0, limit[left] / np.maximum(largest, 1e-30))[:, None]
        volts[left] = np.clip(volts[left] + step, lowest[left, None], highest[left, None])
        before[left], steps[left] = step, number
        done = largest < _SETTLED_VOLTS
        if done.any():
            converged[left[done]] = True
            stamps, left = stamps.rows(np.flatnonzero(~done)), left[~done]
        if not left.size:
            break
    return volts, steps, converged


def _settle(stamps: Stamps) -> Floats:
    """Volts near the solution, as the set itself finds them: a capacitor at every node, time in growing strides.

    Backward Euler with one step of Newton a stride (pseudo-transient continuation).
    """
    import numpy as np

    lowest, highest = _bounds(stamps)
    volts: Floats = np.zeros(stamps.fed.shape)
    held = list(stamps.held_nodes)
    volts[:, held] = stamps.held_volts
    siemens, unit = np.full(len(volts), _FIRST_SIEMENS), np.eye(volts.shape[1])
    for _ in range(_SETTLING_STEPS):
        out, jacobian = stamps.balance(volts)
        jacobian += np.multiply.outer(siemens, unit)
        step = _step(out, jacobian)
        largest = np.abs(step).max(axis=1)
        siemens *= np.where(largest > _STRIDE_VOLTS, 2.0, 0.6)
        step *= np.minimum(1.0, _STRIDE_VOLTS / np.maximum(largest, 1e-30))[:, None]
        volts = np.clip(volts + step, lowest[:, None], highest[:, None])
    return volts


def _bounds(stamps: Stamps) -> tuple[Floats, Floats]:
    """Volts of each variant that no node can lie beyond: those of its lowest and highest source, and some more."""
    import numpy as np

    lowest, highest = stamps.held_volts.min(axis=1, initial=0.0), stamps.held_volts.max(axis=1, initial=0.0)
    # What stands in series with a branch counts both ways, as its ends may be turned.
    of_all = sum(abs(branch.volts) for branch in stamps.net.branches)
    for row, variant in enumerate(stamps.variants):
        charging = [own.each[row] for own in stamps.charging]
        series = sum((abs(branch.volts) for branch in variant.added), of_all)
        peaks = sum(one.stacked * (one.table[-1][0] if one.table else one.peak_volts) for one in charging)
        below = [
            one.stacked * one.peak_volts for one, r in zip(charging, stamps.net.rectifiers, strict=True) if r.bottom
        ]
        below += [abs(held.volts) for held in stamps.net.held if held.returns]
        lowest[row] -= series + sum(below)
        highest[row] += series + peaks
    return 1.1 * lowest - _BEYOND_VOLTS, np.asarray(1.1 * highest + _BEYOND_VOLTS)
