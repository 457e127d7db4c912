"""A set in which faults are tried: its circuit on a day, closed, with what is known of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ..elements import CAPACITOR
from ..in_place import in_place
from .sites import site_of

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcNet, RectifierInNet
    from ...electrics.reservoir import Charging
    from ..circuit import Circuit
    from ..closed.closed_network import Closed
    from ..elements import Element
    from ..in_place import InPlace, When
    from .supposed_fault import FaultSite


USUAL_HERTZ = 60.0
"""Taken where an alternating line's frequency is not written; at 50 Hz a dried-out capacitor gives a little less."""


@dataclass(frozen=True)
class Tried:
    """A set in which faults are tried: its circuit on a day, and that closed as ``net``.

    ``line_read`` says that the line's voltage was measured, ``read`` are the nodes that were read. ``supplied`` is the
    node that a ``SUPPLY`` feeds, where the rectifier itself is not in the network.
    """

    circuit: Circuit
    day: When
    closed: Closed
    net: DcNet
    line_read: bool
    read: frozenset[int] = frozenset()
    supplied: int | None = None

    @cached_property
    def loads(self) -> Mapping[str, float]:
        """What each rectifier's B+ is about loaded with, in ohms: its volts over its mean current with no fault."""
        import numpy as np

        from ...electrics.dc_network import solve
        from ...electrics.reservoir import mean_amps

        solution = solve(self.net)
        if not solution.converged[0]:
            return {}
        rectifiers = self.net.rectifiers
        volts = np.array([solution.volts[0, one.node] - solution.volts[0, one.bottom] for one in rectifiers])
        amps, _ = mean_amps([one.charging for one in rectifiers], volts)
        found = zip(rectifiers, volts, amps, strict=True)
        return {one.name: float(v / a) for one, v, a in found if a > 0 and v > 0}

    @cached_property
    def reservoirs(self) -> frozenset[int]:
        """The nodes that rectifiers charge."""
        of_supply = () if self.supplied is None else (self.supplied,)
        return frozenset((*(rectifier.node for rectifier in self.net.rectifiers), *of_supply))

    def elements(self, *kinds: str) -> Iterator[tuple[Element, FaultSite]]:
        """The parts of some kinds with both ends in the network, and where each stands."""
        for element in self.circuit.network.elements:
            nodes = {self.closed.node(end) for end in element.ends}
            if element.kind in kinds and len(nodes) == len(element.ends) and None not in nodes:
                yield element, site_of(element, self.circuit.network, self.closed, self.reservoirs)

    def reservoirs_of(self, rectifier: RectifierInNet) -> Iterator[tuple[Element, FaultSite, InPlace]]:
        """The capacitors that a rectifier charges, with what was in their place; none that is out or of no size."""
        for element, site in self.elements(CAPACITOR):
            inside = in_place(element.listed, self.day)
            if site.where == "reservoir" and rectifier.node in site.nodes and inside.value is not None:
                yield element, site, inside

    def dried(self, rectifier: RectifierInNet, farads: Sequence[float]) -> tuple[Charging, ...]:
        """What a rectifier charges with into reservoirs of so many farads; none where that is not known."""
        from ...electrics.dried_out import dried_out

        mains, load = self.circuit.mains, self.loads.get(rectifier.name)
        hertz = None if mains.direct else mains.hertz or USUAL_HERTZ
        if not hertz or rectifier.charging.table or not load:
            return ()
        return tuple(dried_out(rectifier.charging, list(farads), hertz, load))
