"""What one deviation of each uncertain value does to the balance of a network's nodes, at any voltages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from .dc_elements import DcBranch, uncertain
from .dc_stamps import Stamps, add_amps
from .reservoir import Charging, bank
from .tube_law import LawArrays, currents

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["MOVED", "moved", "moved_law"]

MOVED = 0.25
"""Share of a standard deviation by which a tube or rectifier is moved to find what it does."""


def moved(stamps: Stamps, volts: Floats) -> Floats:
    """How each node's balance moves for one deviation of each parameter: [variant, node, parameter]."""
    import numpy as np

    amps = stamps.tube_currents(volts).amps
    charged = [stamps.charged(number, volts)[0] for number in range(len(stamps.net.rectifiers))]
    of_tubes = _moved_tubes(stamps, volts, amps)
    columns = [
        _moved_by(stamps, *one, volts, own, charged) for one, own in zip(uncertain(stamps.net), of_tubes, strict=True)
    ]
    if not columns:
        return np.zeros((*volts.shape, 0))
    held = list(stamps.held_nodes)
    found = np.stack(columns, axis=2)
    for node, back in stamps.returning():
        found[:, back] += found[:, node]
    own = {one.name: n for n, one in enumerate(stamps.net.held)}
    found[:, held] = 0.0
    for column, (name, _, deviation) in enumerate(uncertain(stamps.net)):
        if name in own:
            found[:, stamps.held_nodes[own[name]], column] = -deviation * stamps.held_volts[:, own[name]]
    return found


def _moved_tubes(stamps: Stamps, volts: Floats, amps: Floats) -> list[list[tuple[int, Floats]]]:
    """For each parameter the tubes that it is of, by number, each with what it adds to their currents: all at once.

    The currents' last axis is plate, screen, grid; they are for ``MOVED`` of a deviation.
    """
    numbers = {
        tube.name: [n for n, one in enumerate(stamps.net.tubes) if one.name == tube.name] for tube in stamps.net.tubes
    }
    moved = [(at, n, *one[1:]) for at, one in enumerate(uncertain(stamps.net)) for n in numbers.get(one[0], ())]
    found: list[list[tuple[int, Floats]]] = [[] for _ in uncertain(stamps.net)]
    each = [number for _, number, _, _ in moved]
    law = LawArrays(*(of_all[:, each] for of_all in stamps.law))
    for column, (_, _, what, deviation) in enumerate(moved):
        law = moved_law(law, column, what, deviation * MOVED)
    across = (volts @ stamps.across).reshape(len(volts), len(stamps.net.tubes), 3)[:, each]
    change = currents(law, across).amps - amps[:, each]
    for column, (at, number, _, _) in enumerate(moved):
        found[at].append((number, change[:, column]))
    return found


def _moved_by(
    stamps: Stamps,
    name: str,
    what: str,
    deviation: float,
    volts: Floats,
    of_tubes: Sequence[tuple[int, Floats]],
    charged: Sequence[Floats],
) -> Floats:
    import numpy as np

    out = np.zeros(volts.shape)
    for number, branch in enumerate(stamps.net.branches):
        if branch.name == name:
            add_amps(out, branch, -deviation * _branch_amps(branch, stamps.ohms[:, number], volts))
    for number, change in of_tubes:
        out += change @ stamps.into[:, 3 * number : 3 * number + 3].T / MOVED
    for number, rectifier in enumerate(stamps.net.rectifiers):
        if rectifier.name == name:
            each = stamps.charging[number].each
            several = {id(one): one for one in each}  # nearly all variants have one and the same
            moved = {at: _moved_charging(one, what, deviation * MOVED) for at, one in several.items()}
            changed = bank([moved[id(one)] for one in each])
            more = (stamps.charged(number, volts, changed)[0] - charged[number]) / MOVED
            for at, sign in ((rectifier.node - 1, -1), (rectifier.bottom - 1, 1)):
                if at >= 0:
                    out[:, at] += sign * more
    return out


def _branch_amps(branch: DcBranch, ohms: Floats, volts: Floats) -> Floats:
    one, other = (volts[:, end - 1] if end else 0.0 for end in branch.ends)
    found: Floats = (one - other - branch.volts) / ohms
    return found


def moved_law(law: LawArrays, number: int, what: str, by: float) -> LawArrays:
    """The laws with one tube's value moved: shares by a ratio, volts by volts."""
    values = getattr(law, what).copy()
    values[:, number] = values[:, number] + by if what.endswith("_volts") else values[:, number] * (1 + by)
    changed: dict[str, Any] = {what: values}
    return law._replace(**changed)


def _moved_charging(charging: Charging, what: str, by: float) -> Charging:
    if charging.table:
        # A table knows nothing of what it was made from; its volts follow the line's.
        scaled = tuple((volts * (1 + by), amps) for volts, amps in charging.table)
        return replace(charging, table=scaled) if what == "volts" else charging
    if what == "perveance":
        return replace(charging, perveance=charging.perveance and charging.perveance * (1 + by))
    if what == "ohms":
        return replace(charging, ohms=charging.ohms * (1 + by))
    return replace(charging, peak_volts=charging.peak_volts * (1 + by))
