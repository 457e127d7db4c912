"""The arithmetic of nodal analysis: clusters of fixed difference, islands, and elimination node by node.

A network is reduced by the star-mesh transformation (Rosen's theorem), where each pivot is the sum of the
admittances that leave the node. No small leak is ever subtracted from a large conductance, so 1 milliohm beside
10 gigohm costs no figures.
"""

from __future__ import annotations

import cmath
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchleaf.electrics.network_elements import NetworkElement, NetworkError, VoltageSource, admittance_of, ends
from benchleaf.electrics.nodes import Joined, Potentials

__all__ = ["Elimination", "Reduced", "cluster_voltages", "eliminate", "reduce_network"]

#: Below this share of the admittances that leave a node, their sum is called zero: a lossless resonance.
_CANCELLED = 1e-12


@dataclass(frozen=True, slots=True)
class Reduced:
    """A network after wires and sources are contracted: admittances between clusters, and islands of clusters.

    ``injected`` are the amperes that the sources, seen as fixed differences inside clusters, push into each cluster.
    """

    potentials: Potentials
    admittances: Mapping[str, Mapping[str, complex]]
    islands: Joined
    injected: Mapping[str, complex]


Step = tuple[str, tuple[tuple[str, complex], ...], complex]
"""A cluster that was taken out, the admittances it had then, and their sum."""


@dataclass(frozen=True, slots=True)
class Elimination:
    """A reduced network with all clusters but the ``held`` ones taken out, ready for any set of currents."""

    held: frozenset[str]
    steps: tuple[Step, ...]


def reduce_network(parts: Sequence[NetworkElement], frequency_hz: float) -> Reduced:
    """Contract wires and sources; siemens between the clusters that are left, and which of them hang together."""
    wires = Joined()
    passive: list[tuple[str, str, complex]] = []
    sources: list[VoltageSource] = []
    for element in parts:
        if isinstance(element, VoltageSource):
            sources.append(element)
            continue
        admittance = admittance_of(element, frequency_hz)
        if admittance is None:
            wires.join(element.a, element.b)
        elif admittance:
            passive.append((element.a, element.b, admittance))
    potentials = Potentials(wires)
    for source in sources:
        _contract(source, potentials)
    islands = Joined()
    admittances: dict[str, dict[str, complex]] = {}
    injected: dict[str, complex] = {}
    for a, b, admittance in passive:
        (ca, above), (cb, other) = potentials.stands(a), potentials.stands(b)
        islands.join(ca, cb)
        if ca != cb:
            for here, there in ((ca, cb), (cb, ca)):
                row = admittances.setdefault(here, {})
                row[there] = row.get(there, 0j) + admittance
            amps = admittance * (above - other)
            injected[ca] = injected.get(ca, 0j) - amps
            injected[cb] = injected.get(cb, 0j) + amps
    return Reduced(potentials, admittances, islands, injected)


def _contract(source: VoltageSource, potentials: Potentials) -> None:
    pair = ends(source)
    volts = complex(source.volts)
    if not cmath.isfinite(volts):
        raise NetworkError("value", f"{source!r} has a value that cannot be computed.", pair)
    if potentials.wires.same(*pair):
        raise NetworkError("shorted source", f"A source of {abs(volts):g} V is shorted by a wire: {pair}.", pair)
    if not potentials.fix(source.plus, source.minus, volts):
        raise NetworkError("loop of sources", f"Ideal sources form a loop that closes at {pair}.", pair)


def eliminate(reduced: Reduced, earth: str) -> Elimination:
    """Take every cluster out but one in each island: earth's cluster, or the first named."""
    references: dict[str, str] = {}
    if earth in reduced.admittances:
        references[reduced.islands.root(earth)] = earth
    for cluster in reduced.admittances:
        references.setdefault(reduced.islands.root(cluster), cluster)
    held = frozenset(references.values())
    rows = {cluster: dict(row) for cluster, row in reduced.admittances.items()}
    steps: list[Step] = []
    left = [cluster for cluster in rows if cluster not in held]
    while left:
        cluster = max(left, key=lambda name: _firmness(rows[name])) if len(left) > 1 else left[0]
        left.remove(cluster)
        row = rows.pop(cluster)
        if _firmness(row) < _CANCELLED:
            raise NetworkError(
                "resonance", f"A resonance without loss at {cluster}: its voltage is unbounded.", (cluster,)
            )
        pivot = sum(row.values())
        steps.append((cluster, tuple(row.items()), pivot))
        _star_to_mesh(cluster, row, pivot, rows)
    return Elimination(held, tuple(steps))


def cluster_voltages(elimination: Elimination, injected: Mapping[str, complex]) -> dict[str, complex]:
    """Volts of each cluster above its island's reference, with amperes ``injected`` into the clusters."""
    amps = dict(injected)
    for cluster, row, pivot in elimination.steps:
        here_amps = amps.get(cluster)
        if here_amps:
            for other, y in row:
                amps[other] = amps.get(other, 0j) + y / pivot * here_amps
    volts = dict.fromkeys(elimination.held, 0j)
    for cluster, row, pivot in reversed(elimination.steps):
        volts[cluster] = (amps.get(cluster, 0j) + sum(y * volts[other] for other, y in row)) / pivot
    return volts


def _firmness(row: Mapping[str, complex]) -> float:
    """How little the admittances of a node cancel: 1 where none does, 0 at a lossless resonance."""
    size = sum(abs(y) for y in row.values())
    return abs(sum(row.values())) / size if size else 0.0


def _star_to_mesh(
    cluster: str, row: Mapping[str, complex], pivot: complex, rows: dict[str, dict[str, complex]]
) -> None:
    """Take one node out: a direct admittance comes between each pair of its neighbours."""
    for here, y_here in row.items():
        share = y_here / pivot
        neighbours = rows[here]
        del neighbours[cluster]
        for there, y_there in row.items():
            if there != here:
                neighbours[there] = neighbours.get(there, 0j) + share * y_there
