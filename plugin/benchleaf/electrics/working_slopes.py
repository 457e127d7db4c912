"""The slopes of a set's tubes where they work: what a small signal finds, and how far each may be from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .dc_elements import DcNet, DcVariant, uncertain
from .dc_moved import MOVED, moved_law
from .dc_network import DcSolution
from .dc_stamps import stamped
from .tube_law import LawArrays, currents

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["WorkingSlopes", "amplification", "plate_output_ohms", "working_slopes"]


@dataclass(frozen=True, slots=True)
class WorkingSlopes:
    """One tube at its working point: slope in siemens, plate conductance in siemens, plate volts and amperes.

    Volts are above the cathode.
    """

    slope: float
    plate_siemens: float
    plate_volts: float
    plate_amps: float


def working_slopes(net: DcNet, solved: DcSolution) -> dict[str, tuple[WorkingSlopes, ...]]:
    """Each tube's slopes by its name: at the solution first, then with each parameter moved by one deviation.

    The parameters are those of ``solved.parameters``; what a parameter does by way of the voltages is in it. The first
    variant of a solution with slopes is looked at.
    """
    stamps = stamped(net, [DcVariant()])
    volts, moves = solved.volts[:1, 1:], solved.slopes[0, 1:].T
    laws, points = [stamps.law], [volts]
    for (name, what, deviation), move in zip(uncertain(net), moves, strict=True):
        number = next((n for n, tube in enumerate(net.tubes) if tube.name == name), None)
        laws.append(stamps.law if number is None else moved_law(stamps.law, number, what, deviation * MOVED))
        points.append(volts + move * MOVED)
    at = _at(laws, [point @ stamps.across for point in points], len(net.tubes))
    found = {}
    for number, tube in enumerate(net.tubes):
        here, *moved = (one[number] for one in at)
        found[tube.name] = (here, *(_whole(here, one) for one in moved))
    return found


def _at(laws: Sequence[LawArrays], volts: Sequence[Floats], tubes: int) -> list[list[WorkingSlopes]]:
    """Each tube's slopes, for each law with its volts."""
    import numpy as np

    across = np.concatenate(volts).reshape(len(volts), tubes, 3)
    flows = currents(LawArrays(*map(np.concatenate, zip(*laws, strict=True))), across)
    slopes, plates = flows.slopes[:, :, 0], across[:, :, 0]
    rows = np.stack([slopes[:, :, 2], slopes[:, :, 0], plates, flows.amps[:, :, 0]], axis=2)
    return [[WorkingSlopes(*one) for one in of_tubes] for of_tubes in rows.tolist()]


def _whole(here: WorkingSlopes, moved: WorkingSlopes) -> WorkingSlopes:
    """A part of a deviation drawn out to the whole; nothing turns its sign by it."""

    def drawn(name: str) -> float:
        at, to = float(getattr(here, name)), float(getattr(moved, name))
        return max(at + (to - at) / MOVED, 0.1 * at)

    return WorkingSlopes(*(drawn(name) for name in ("slope", "plate_siemens", "plate_volts", "plate_amps")))


def amplification(at: WorkingSlopes, load_ohms: float, cathode_ohms: float = 0.0) -> float:
    """How many times a stage amplifies into ``load_ohms``, with ``cathode_ohms`` that no capacitor bypasses.

    mu RL/(RL + rp + (mu + 1) Rk), written with slopes so that a pentode without plate conductance is in it. What a
    screen takes from the cathode's resistor is left out. Raises ValueError for a load that is not above zero.
    """
    if not load_ohms > 0:
        raise ValueError(f"a load is above zero, not {load_ohms:g} ohm")
    through = 1 + load_ohms * at.plate_siemens + (at.slope + at.plate_siemens) * cathode_ohms
    return at.slope * load_ohms / through


def plate_output_ohms(at: WorkingSlopes, feed_ohms: float, cathode_ohms: float = 0.0) -> float:
    """What a plate shows towards the next stage: its feed beside the tube, rp + (mu + 1) Rk."""
    own = at.plate_siemens / (1 + (at.slope + at.plate_siemens) * cathode_ohms)
    return 1 / (1 / feed_ohms + own)
