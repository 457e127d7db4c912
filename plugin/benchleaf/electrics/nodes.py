"""Bookkeeping for nodes: which are joined by wires, and which stand at a fixed difference from each other."""

from __future__ import annotations

__all__ = ["Joined", "Potentials"]


class Joined:
    """Groups of names that are one (union-find). A name nobody has joined is a group of its own."""

    def __init__(self) -> None:
        self._parent: dict[str, str] = {}

    def add(self, name: str) -> None:
        """Make ``name`` known."""
        self._parent.setdefault(name, name)

    def root(self, name: str) -> str:
        """The name that stands for the whole group of ``name``."""
        parents = self._parent
        top = parents.get(name, name)
        if top == name or parents[top] == top:
            return top
        while (parent := parents.get(top, top)) != top:
            top = parent
        while (parent := parents.get(name, name)) != top:
            if parent == name:
                break
            parents[name], name = top, parent
        return top

    def join(self, a: str, b: str) -> None:
        """Make one group of the groups of ``a`` and ``b``."""
        parents = self._parent
        parents.setdefault(a, a)
        parents.setdefault(b, b)
        parents[self.root(b)] = self.root(a)

    def same(self, a: str, b: str) -> bool:
        """Whether ``a`` and ``b`` are in one group."""
        return self.root(a) == self.root(b)


class Potentials:
    """Clusters of wired nodes that ideal sources hold at fixed differences from each other, in volts."""

    def __init__(self, wires: Joined) -> None:
        self.wires = wires
        self._cluster: dict[str, str] = {}
        self._offset: dict[str, complex] = {}

    def cluster(self, node: str) -> str:
        """The cluster a node belongs to, named after its reference node."""
        root = self.wires.root(node)
        return self._cluster.get(root, root)

    def offset(self, node: str) -> complex:
        """Volts of a node above the reference of its cluster."""
        return self._offset.get(self.wires.root(node), 0j)

    def stands(self, node: str) -> tuple[str, complex]:
        """Both: the cluster of a node, and its volts above the reference of that."""
        root = self.wires.root(node)
        return self._cluster.get(root, root), self._offset.get(root, 0j)

    def fix(self, plus: str, minus: str, volts: complex) -> bool:
        """Hold ``plus`` at ``volts`` above ``minus``; ``False`` if the two are already in one cluster."""
        keep, merge = self.cluster(minus), self.cluster(plus)
        if keep == merge:
            return False
        shift = self.offset(minus) + volts - self.offset(plus)
        for node in [n for n, c in self._cluster.items() if c == merge] or [merge]:
            self._offset[node] = self._offset.get(node, 0j) + shift
            self._cluster[node] = keep
        self._cluster[keep] = keep
        return True
