"""The elements of a network and its variants as arrays: what Newton's method needs of them at any voltages."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

from .dc_elements import DcBranch, DcNet, DcVariant
from .reservoir import Chargings, bank, mean_amps
from .tube_law import MOST_SCREEN_SHARE, LawArrays, TubeCurrents, currents

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["Stamps", "add_amps", "stamped"]

_TO_BOTTOM_SIEMENS = 1e-9
"""From every node to the bottom of the supply: the set's insulation, without which a loose node has no volts."""
_LEAST_OHMS = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class SlopeLayer:
    """Slopes of the tubes that go to different ``pairs`` of nodes, as numbered in [node, node]; each with its sign.

    ``slopes`` are numbered as in [tube, current, voltage].
    """

    pairs: NDArray[np.int64]
    slopes: NDArray[np.int64]
    signs: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Stamps:
    """A batch of variants. Unknowns are the volts of all nodes but the bottom: [variant, node - 1].

    ``ohms`` [variant, branch] are what each resistance has, ``linear`` [variant, node, node] and ``fed`` [variant,
    node] all of them together; ``across`` leads from node volts to the tubes' plate, screen and grid volts above the
    cathode, ``into`` from their currents to what nodes give, ``layers`` from their slopes to pairs of nodes.
    """

    net: DcNet
    variants: tuple[DcVariant, ...]
    ohms: Floats
    linear: Floats
    fed: Floats
    across: Floats
    into: Floats
    layers: tuple[SlopeLayer, ...]
    law: LawArrays
    charging: tuple[Chargings, ...]
    held_nodes: tuple[int, ...]
    held_volts: Floats

    def rows(self, chosen: NDArray[np.int64]) -> Stamps:
        """The batch with only some of its variants."""
        return replace(
            self,
            variants=tuple(self.variants[n] for n in chosen),
            ohms=self.ohms[chosen],
            linear=self.linear[chosen],
            fed=self.fed[chosen],
            law=LawArrays(*(field[chosen] for field in self.law)),
            charging=tuple(own.rows(chosen) for own in self.charging),
            held_volts=self.held_volts[chosen],
        )

    def tube_currents(self, volts: Floats) -> TubeCurrents:
        """The tubes' currents at node volts."""
        count = len(self.net.tubes)
        return currents(self.law, (volts @ self.across).reshape(len(volts), count, 3))

    def balance(self, volts: Floats) -> tuple[Floats, Floats]:
        """What flows out of each node beyond what flows in, in amperes, and its slopes; a held node's distance."""
        count = len(volts)
        tubes = self.tube_currents(volts)
        out = (self.linear @ volts[..., None])[..., 0] - self.fed
        out += tubes.amps.reshape(count, -1) @ self.into.T
        slopes = self.linear + self._tube_slopes(tubes.slopes)
        for number, rectifier in enumerate(self.net.rectifiers):
            node, bottom = rectifier.node - 1, rectifier.bottom - 1
            amps, slope = self.charged(number, volts)
            for at, sign in ((node, -1), (bottom, 1)):
                if at >= 0:
                    out[:, at] += sign * amps
                    slopes[:, at, node] += sign * slope
                    if bottom >= 0:
                        slopes[:, at, bottom] -= sign * slope
        for node, back in self.returning():
            out[:, back] += out[:, node]
            slopes[:, back] += slopes[:, node]
        for number, node in enumerate(self.held_nodes):
            out[:, node] = volts[:, node] - self.held_volts[:, number]
            slopes[:, node] = 0.0
            slopes[:, node, node] = 1.0
        return out, slopes

    def returning(self) -> list[tuple[int, int]]:
        """The held nodes whose current returns elsewhere than at the bottom, and where."""
        return [(held.node - 1, held.returns - 1) for held in self.net.held if held.returns]

    def _tube_slopes(self, slopes: Floats) -> Floats:
        """The tubes' slopes between nodes: each current's node, each voltage's nodes.

        Layer by layer, as nearly all pairs of nodes have none: a product of matrices takes ten times as long.
        """
        import numpy as np

        count, size = len(slopes), len(self.across)
        found = np.zeros((size * size, count))
        by_slope = slopes.reshape(count, -1).T
        for layer in self.layers:
            found[layer.pairs] += layer.signs[:, None] * by_slope[layer.slopes]
        return found.T.reshape(count, size, size)

    def charged(self, number: int, volts: Floats, charging: Chargings | None = None) -> tuple[Floats, Floats]:
        """What a rectifier, by its number, gives into its reservoir, and the slope; by ``charging`` if given."""
        rectifier = self.net.rectifiers[number]
        across = volts[:, rectifier.node - 1]
        if rectifier.bottom:
            across = across - volts[:, rectifier.bottom - 1]
        return mean_amps(charging or self.charging[number], across)


def stamped(net: DcNet, variants: Sequence[DcVariant]) -> Stamps:
    """The arrays of a network and its variants. Raises ValueError for names or nodes that are not in the network."""
    import numpy as np

    _known(net, variants)
    size, tubes = net.size - 1, len(net.tubes)
    linear, fed = np.zeros((len(variants), size, size)), np.zeros((len(variants), size))
    linear += np.eye(size) * _TO_BOTTOM_SIEMENS
    ohms = _ohms(net, variants)
    for number, branch in enumerate(net.branches):
        _stamp(linear, fed, branch, ohms[:, number])
    gas = np.zeros((len(variants), tubes))
    numbers = {tube.name: n for n, tube in enumerate(net.tubes)}
    for row, variant in enumerate(variants):
        for branch in variant.added:
            _stamp(linear[row : row + 1], fed[row : row + 1], branch, np.array([max(branch.ohms, _LEAST_OHMS)]))
        for name, amps in variant.grid_amps:
            gas[row, numbers[name]] += amps
    across, into = _incidence(net)
    fed += gas @ into.reshape(size, tubes, 3)[:, :, 2].T if tubes else 0.0
    own = [dict(variant.charging) for variant in variants]
    charging = tuple(bank([changed.get(r.name, r.charging) for changed in own]) for r in net.rectifiers)
    held = [[dict(variant.held).get(h.name, h.volts) for h in net.held] for variant in variants]
    volts = np.array(held, dtype=float).reshape(len(variants), len(net.held))
    nodes = tuple(h.node - 1 for h in net.held)
    layers, laws = _layers(across, into), _laws(net, variants)
    return Stamps(net, tuple(variants), ohms, linear, fed, across, into, layers, laws, charging, nodes, volts)


def _known(net: DcNet, variants: Sequence[DcVariant]) -> None:
    """Every name and node of the variants is one of the network's."""
    names = (
        ({b.name for b in net.branches}, "ohms"),
        ({t.name for t in net.tubes}, "emission"),
        ({t.name for t in net.tubes}, "grid_amps"),
        ({h.name for h in net.held}, "held"),
        ({r.name for r in net.rectifiers}, "charging"),
    )
    for variant in variants:
        for known, field in names:
            for name, _ in getattr(variant, field):
                if name not in known:
                    raise ValueError(f"no {name!r} to change the {field} of in the network")
    ends = [end for b in (*net.branches, *(b for v in variants for b in v.added)) for end in b.ends]
    ends += [end for t in net.tubes for end in (t.plate, t.cathode, t.grid or 0, t.screen or 0)]
    ends += [end for r in net.rectifiers for end in (r.node, r.bottom)] + [h.returns for h in net.held]
    if any(not 0 <= end < net.size for end in ends) or any(not 0 < h.node < net.size for h in net.held):
        raise ValueError(f"the network has nodes 0 to {net.size - 1}, and its bottom cannot be held")


def _ohms(net: DcNet, variants: Sequence[DcVariant]) -> Floats:
    import numpy as np

    found = np.tile(np.array([branch.ohms for branch in net.branches], dtype=float), (len(variants), 1))
    numbers: dict[str, list[int]] = {}
    for number, branch in enumerate(net.branches):
        numbers.setdefault(branch.name, []).append(number)
    for row, variant in enumerate(variants):
        for name, ohms in variant.ohms:
            found[row, numbers[name]] = ohms
    least: Floats = np.maximum(found, _LEAST_OHMS)
    return least


def _stamp(linear: Floats, fed: Floats, branch: DcBranch, ohms: Floats) -> None:
    siemens = 1 / ohms
    one, other = (end - 1 for end in branch.ends)
    for at, to in ((one, other), (other, one)):
        if at >= 0:
            linear[:, at, at] += siemens
            if to >= 0:
                linear[:, at, to] -= siemens
    add_amps(fed, branch, siemens * branch.volts)


def add_amps(out: Floats, branch: DcBranch, amps: Floats) -> None:
    """A current that leaves the branch's first end and enters its other."""
    one, other = (end - 1 for end in branch.ends)
    if one >= 0:
        out[:, one] += amps
    if other >= 0:
        out[:, other] -= amps


def _incidence(net: DcNet) -> tuple[Floats, Floats]:
    """From node volts to tube volts, from tube currents to what nodes give: all that enters leaves by the cathode."""
    import numpy as np

    size, tubes = net.size - 1, len(net.tubes)
    across = np.zeros((size, tubes, 3))
    into = np.zeros((size, tubes, 3))
    for number, tube in enumerate(net.tubes):
        for electrode, node in enumerate((tube.plate, tube.screen, tube.grid)):
            if node is None:
                continue
            for at, sign in ((node, 1.0), (tube.cathode, -1.0)):
                if at:
                    across[at - 1, number, electrode] += sign
                    into[at - 1, number, electrode] += sign
    return across.reshape(size, -1), into.reshape(size, -1)


def _layers(across: Floats, into: Floats) -> tuple[SlopeLayer, ...]:
    """The tubes' slopes, those that meet at one pair of nodes in different layers, in the order of the tubes."""
    import numpy as np

    size, columns = across.shape
    layers: list[list[tuple[int, int, float]]] = []
    met: Counter[int] = Counter()
    for number, (current, voltage) in product(range(columns // 3), product(range(3), range(3))):
        giving, moving = into[:, 3 * number + current], across[:, 3 * number + voltage]
        for at, of in product(np.flatnonzero(giving).tolist(), np.flatnonzero(moving).tolist()):
            pair = at * size + of
            if met[pair] == len(layers):
                layers.append([])
            layers[met[pair]].append((pair, 9 * number + 3 * current + voltage, float(giving[at] * moving[of])))
            met[pair] += 1
    return tuple(SlopeLayer(*map(np.array, zip(*layer, strict=True))) for layer in layers)


def _laws(net: DcNet, variants: Sequence[DcVariant]) -> LawArrays:
    import numpy as np

    def array(name: str) -> Floats:
        values = np.array([float(getattr(tube.law, name)) for tube in net.tubes])
        return np.tile(values, (len(variants), 1))

    law = LawArrays(*(array(name) for name in LawArrays._fields))
    factors: list[Mapping[str, float]] = [dict(variant.emission) for variant in variants]
    factor = np.array([[own.get(tube.name, 1.0) for tube in net.tubes] for own in factors])
    share = np.minimum(law.screen_share, MOST_SCREEN_SHARE)
    return law._replace(perveance=law.perveance * factor.reshape(law.perveance.shape), screen_share=share)
