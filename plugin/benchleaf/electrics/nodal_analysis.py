"""Exact nodal analysis of a small network at one frequency, zero included.

Ideal wires are contracted, parts that are open are simply not there, and nothing is added to make a network
solvable: a node without a path to earth has no defined voltage and says so with ``None``. Voltages and currents
are RMS phasors (at zero frequency: plain direct volts and amperes).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from benchleaf.electrics.network_elements import (
    Capacitor,
    Inductor,
    NetworkElement,
    NetworkError,
    Resistor,
    VoltageSource,
    Wire,
    admittance_of,
    ends,
)
from benchleaf.electrics.nodes import Joined
from benchleaf.electrics.reduction import (
    Elimination,
    Reduced,
    cluster_voltages,
    eliminate,
    reduce_network,
)

__all__ = [
    "Capacitor",
    "Inductor",
    "NetworkElement",
    "NetworkError",
    "Resistor",
    "Solution",
    "Thevenin",
    "VoltageSource",
    "Wire",
    "solve",
]


@dataclass(frozen=True, slots=True)
class Thevenin:
    """What two nodes look like from outside.

    ``open_volts`` is ``None`` if the difference is not defined; ``ohms`` is ``None`` if there is no path between them.
    """

    open_volts: complex | None
    ohms: complex | None

    def short_amps(self) -> complex:
        """Current in ampere through an ideal wire put across the two nodes (prospective current).

        Exactly 0 if there is no path. Raises ``NetworkError`` of kind ``shorted source`` if nothing limits it.
        """
        if self.open_volts is None or self.ohms is None:
            return 0j
        if self.ohms == 0:
            if self.open_volts == 0:
                raise NetworkError("current", "The two nodes are already one: the current in a wire is not determined.")
            raise NetworkError("shorted source", "Nothing limits the current of this short circuit.")
        return self.open_volts / self.ohms


@dataclass(frozen=True, slots=True)
class Solution:
    """Voltages and currents of a solved network. Made by :func:`solve`."""

    elements: tuple[NetworkElement, ...]
    frequency_hz: float
    earth: str
    _reduced: Reduced = field(repr=False)
    _elimination: Elimination = field(repr=False)
    _cluster_volts: Mapping[str, complex] = field(repr=False)

    def voltage(self, node: str) -> complex | None:
        """Volts of ``node`` above earth, ``None`` if it has no path to earth (no defined voltage)."""
        return self.between(node, self.earth)

    def between(self, a: str, b: str) -> complex | None:
        """Volts of ``a`` above ``b``; defined, also without a path to earth, where a path joins the two."""
        if a == b:
            return 0j
        if not self.joined(a, b):
            return None
        return self._local(a) - self._local(b)

    def joined(self, a: str, b: str) -> bool:
        """Whether a path joins ``a`` and ``b`` at this frequency (capacitors carry alternating current only)."""
        potentials = self._reduced.potentials
        return self._reduced.islands.same(potentials.cluster(a), potentials.cluster(b))

    def current_through(self, element: NetworkElement) -> complex:
        """Amperes through ``element``, from ``a`` to ``b``, or for a source from ``plus`` through it to ``minus``.

        Of a source that delivers power the current therefore comes out negative (as in SPICE). Raises
        ``NetworkError`` (kind ``current``) for an ideal wire and what acts as one, ``KeyError`` for an element that is
        not in this network.
        """
        if element not in self.elements:
            raise KeyError(element)
        if isinstance(element, VoltageSource):
            return self._source_current(element)
        admittance = admittance_of(element, self.frequency_hz)
        if admittance is None:
            raise NetworkError(
                "current",
                f"The current in an ideal wire ({element.a} to {element.b}) is not determined.",
                ends(element),
            )
        return admittance * (self._local(element.a) - self._local(element.b)) if admittance else 0j

    def thevenin(self, a: str, b: str) -> Thevenin:
        """Open-circuit volts and source impedance in ohm between ``a`` and ``b``, sources at rest for the latter."""
        (ca, above), (cb, other) = self._reduced.potentials.stands(a), self._reduced.potentials.stands(b)
        if not self._reduced.islands.same(ca, cb):
            return Thevenin(None, None)
        ohms = 0j
        if ca != cb:
            one_ampere = {ca: 1 + 0j, cb: -1 + 0j}
            volts = cluster_voltages(self._elimination, one_ampere)
            ohms = volts[ca] - volts[cb]
        local = self._cluster_volts
        return Thevenin(local.get(ca, 0j) + above - (local.get(cb, 0j) + other) if a != b else 0j, ohms)

    def _local(self, node: str) -> complex:
        """Volts above the reference of the node's own island."""
        cluster, offset = self._reduced.potentials.stands(node)
        return self._cluster_volts.get(cluster, 0j) + offset

    def _source_current(self, source: VoltageSource) -> complex:
        """Kirchhoff's current law over the part of the source tree on the plus side of ``source``."""
        wires = self._reduced.potentials.wires
        side = _plus_side(source, self.elements, wires)
        passive = (e for e in self.elements if not isinstance(e, Wire | VoltageSource))
        leaving = 0j
        for element in passive:
            a_in, b_in = wires.root(element.a) in side, wires.root(element.b) in side
            if a_in != b_in:
                amps = self.current_through(element)
                leaving += amps if a_in else -amps
        return -leaving


def solve(elements: Iterable[NetworkElement], frequency_hz: float, earth: str = "earth") -> Solution:
    """Solve a network exactly at one frequency.

    ``frequency_hz`` in hertz, 0 for direct current (capacitors open, inductors ideal wires). ``earth`` is the node
    voltages are counted from. Nodes come into being by being named. Raises :class:`NetworkError`.

    Method: nodal analysis with ideal sources contracted to clusters of fixed difference; node elimination by the
    star-mesh transformation (Rosen's theorem).
    """
    parts = tuple(elements)
    if not math.isfinite(frequency_hz) or frequency_hz < 0:
        raise NetworkError("value", f"A frequency of {frequency_hz} Hz cannot be computed.")
    reduced = reduce_network(parts, frequency_hz)
    elimination = eliminate(reduced, reduced.potentials.cluster(earth))
    volts = cluster_voltages(elimination, reduced.injected)
    return Solution(parts, frequency_hz, earth, reduced, elimination, volts)


def _plus_side(source: VoltageSource, elements: Sequence[NetworkElement], wires: Joined) -> set[str]:
    """Wired nodes reached from ``plus`` through the other sources of the same tree."""
    others = [e for e in elements if isinstance(e, VoltageSource) and e != source]
    side, front = {wires.root(source.plus)}, [wires.root(source.plus)]
    while front:
        here = front.pop()
        for other in others:
            ends = (wires.root(other.plus), wires.root(other.minus))
            if here in ends:
                there = ends[1] if ends[0] == here else ends[0]
                if there not in side:
                    side.add(there)
                    front.append(there)
    return side
