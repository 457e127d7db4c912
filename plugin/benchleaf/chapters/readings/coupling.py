"""The capacitors of the parts list that lead from a plate to a grid, or bypass an electrode."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...circuit.listed import Listed
from .places import kind_of
from .resistors import Node, node

if TYPE_CHECKING:
    from ..bench import Bench

TIGHT_OHMS = 1e9
"""A capacitor measured at this much or more puts less than 0.1 V on a grid leak of 0.5 megohm at 200 V."""


@dataclass(frozen=True, slots=True)
class Coupling:
    """A coupling capacitor. ``tight`` says that the one in place was measured and does not leak."""

    part: str
    job: str
    grid: Node
    plate: Node
    tight: bool = False


def couplings(bench: Bench, date: datetime.date | None) -> dict[Node, Coupling]:
    """Every capacitor between a plate and the control grid of another tube, by the grid's node."""
    found: dict[Node, Coupling] = {}
    for listed, ends in _capacitors(bench):
        for grid, plate in (ends, ends[::-1]):
            if _kind(grid, bench) in ("grid", "osc grid") and _kind(plate, bench) == "plate" and grid != plate:
                tight = in_place(listed, date).insulates(TIGHT_OHMS)
                found.setdefault(grid, Coupling(listed.name, listed.piece.job, grid, plate, tight))
    return found


def bypasses(bench: Bench) -> dict[Node, str]:
    """The capacitor from a tube's electrode to B- or the chassis, by the electrode's node."""
    found: dict[Node, str] = {}
    for listed, ends in _capacitors(bench):
        for electrode, ground in (ends, ends[::-1]):
            if electrode.tube and not ground.tube and ground.key in ("B-", "chassis"):
                found.setdefault(electrode, listed.name)
    return found


def tight_capacitors(bench: Bench, date: datetime.date | None) -> frozenset[str]:
    """The names of the parts whose capacitor in place on ``date`` was measured and does not leak."""
    return frozenset(one.name for one in bench.circuit.components if in_place(one, date).insulates(TIGHT_OHMS))


def _capacitors(bench: Bench) -> Iterator[tuple[Listed, tuple[Node, Node]]]:
    for listed in bench.circuit.components:
        piece = listed.piece
        if piece.ends and any(seen and seen.kind == "capacitor" for seen in (piece.now, piece.was, piece.sheet)):
            yield listed, (node(piece.ends[0], bench), node(piece.ends[1], bench))


def _kind(at: Node, bench: Bench) -> str:
    from ...tubes import say_electrode

    if not at.tube:
        return ""
    tube = bench.tubes.get(at.tube)
    word = say_electrode(at.key, tube.role if tube else None, direct=bool(tube and tube.heater.direct))
    return kind_of(word, tube)
