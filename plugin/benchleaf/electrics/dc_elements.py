"""The direct-current network of a set as plain data: what lies between which nodes, and what may be changed in it.

Nodes are numbers; node 0 is the bottom of the supply, from which all volts count. Everything is in SI. A ``deviation``
is one standard deviation, as a share of the value unless its name ends in a unit; 0 takes the value as exact.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .reservoir import Charging
    from .tube_law import TubeLaw

__all__ = [
    "BOTTOM",
    "DcBranch",
    "DcNet",
    "DcVariant",
    "Deviations",
    "HeldNode",
    "RectifierInNet",
    "TubeInNet",
    "uncertain",
]

BOTTOM = 0
"""The node from which all volts count."""


@dataclass(frozen=True, slots=True)
class DcBranch:
    """A resistance between two nodes: a resistor, a winding, a leak, a meter.

    ``volts`` are in series with it and raise ``ends[0]`` above ``ends[1]``: what a leak to another potential goes to.
    """

    name: str
    ends: tuple[int, int]
    ohms: float
    deviation: float = 0.0
    volts: float = 0.0


@dataclass(frozen=True, slots=True)
class HeldNode:
    """A node that stands at ``volts`` whatever flows: a rail that is known, an electrode held at its own reading.

    What it takes from the network returns at the node ``returns``: of a set whose bias is made between B- and the
    chassis that is B-, while its rails are known against the chassis.
    """

    name: str
    node: int
    volts: float
    deviation: float = 0.0
    returns: int = BOTTOM


@dataclass(frozen=True, slots=True)
class Deviations:
    """How far one tube may be from its law: shares of perveance, mu and screen share; volts of V0 and contact bias."""

    perveance: float = 0.0
    mu: float = 0.0
    offset_volts: float = 0.0
    screen_share: float = 0.0
    contact_volts: float = 0.0


@dataclass(frozen=True, slots=True)
class TubeInNet:
    """An amplifying section between nodes. A triode has no screen; a section whose grid is left out has none."""

    name: str
    law: TubeLaw
    plate: int
    cathode: int
    grid: int | None = None
    screen: int | None = None
    deviations: Deviations = Deviations()


@dataclass(frozen=True, slots=True)
class RectifierInNet:
    """A rectifier that charges the reservoir at ``node``; its other end is ``bottom``.

    Deviations are those of the tube's perveance, of the series resistance and of the alternating volts.
    """

    name: str
    charging: Charging
    node: int
    bottom: int = BOTTOM
    perveance_deviation: float = 0.0
    ohms_deviation: float = 0.0
    volts_deviation: float = 0.0


@dataclass(frozen=True, slots=True)
class DcNet:
    """A network of ``size`` nodes, node 0 among them. Names are each used once among all elements."""

    size: int
    branches: tuple[DcBranch, ...] = ()
    tubes: tuple[TubeInNet, ...] = ()
    held: tuple[HeldNode, ...] = ()
    rectifiers: tuple[RectifierInNet, ...] = ()

    @property
    def parameters(self) -> tuple[str, ...]:
        """What is uncertain, in the order of ``DcSolution.slopes``: ``R5``, ``V3 perveance``, ``V5 volts``."""
        return tuple(f"{name} {what}".strip() for name, what, _ in uncertain(self))


@dataclass(frozen=True, slots=True)
class DcVariant:
    """What differs from the network as it is; nothing given is the network itself.

    ``ohms``: branch by name, the ohms it has instead. ``emission``: tube by name, factor on its perveance.
    ``added``: branches that are not in the network. ``grid_amps``: tube by name, amperes that flow out of its grid into
    the circuit (gas, grid emission). ``held``: held node by name, volts instead. ``charging``: rectifier by name, what
    it charges with instead (weak, dead, another line voltage, a dried-out reservoir's table).
    """

    name: str = ""
    ohms: tuple[tuple[str, float], ...] = ()
    emission: tuple[tuple[str, float], ...] = ()
    added: tuple[DcBranch, ...] = ()
    grid_amps: tuple[tuple[str, float], ...] = ()
    held: tuple[tuple[str, float], ...] = ()
    charging: tuple[tuple[str, Charging], ...] = field(default=())


def uncertain(net: DcNet) -> Iterator[tuple[str, str, float]]:
    """Every parameter with a deviation: the element's name, which of its values, one standard deviation."""
    for branch in net.branches:
        if branch.deviation:
            yield branch.name, "", branch.deviation
    for held in net.held:
        if held.deviation:
            yield held.name, "", held.deviation
    for tube in net.tubes:
        for what in ("perveance", "mu", "offset_volts", "screen_share", "contact_volts"):
            if deviation := getattr(tube.deviations, what):
                yield tube.name, what, deviation
    for rectifier in net.rectifiers:
        for what in ("perveance", "ohms", "volts"):
            if deviation := getattr(rectifier, f"{what}_deviation"):
                yield rectifier.name, what, deviation
