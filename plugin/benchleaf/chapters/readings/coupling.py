"""The capacitors of the parts list that lead from a plate to a grid, or bypass an electrode."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...record.sections.parts import Component, Part, PartSection
from .places import kind_of
from .resistors import Node, node

if TYPE_CHECKING:
    from ...record.model import Record
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
    for name, piece, part, ends in _capacitors(bench):
        for grid, plate in (ends, ends[::-1]):
            if _kind(grid, bench) in ("grid", "osc grid") and _kind(plate, bench) == "plate" and grid != plate:
                tight = _tight(_in_place(piece, part, date))
                found.setdefault(grid, Coupling(name, str(piece.job or part.job or ""), grid, plate, tight))
    return found


def bypasses(bench: Bench) -> dict[Node, str]:
    """The capacitor from a tube's electrode to B- or the chassis, by the electrode's node."""
    found: dict[Node, str] = {}
    for name, _, _, ends in _capacitors(bench):
        for electrode, ground in (ends, ends[::-1]):
            if electrode.tube and not ground.tube and ground.key in ("B-", "chassis"):
                found.setdefault(electrode, name)
    return found


def tight_capacitors(record: Record, date: datetime.date | None) -> frozenset[str]:
    """The names of the parts whose capacitor in place on ``date`` was measured and does not leak."""
    found = []
    for name, part in record.parts.items():
        pieces: list[tuple[str, Part | PartSection]] = [(str(name), part)]
        pieces += [(f"{name} {section_name}", section) for section_name, section in part.sections.items()]
        found += [label for label, piece in pieces if _tight(_in_place(piece, part, date))]
    return frozenset(found)


def _capacitors(bench: Bench) -> Iterator[tuple[str, Part | PartSection, Part, tuple[Node, Node]]]:
    for name, part in bench.record.parts.items():
        pieces: list[tuple[str, Part | PartSection]] = [(str(name), part)]
        pieces += [(f"{name} {section_name}", section) for section_name, section in part.sections.items()]
        for label, piece in pieces:
            components = (*piece.now, *piece.was, *piece.sheet)
            if piece.between and any(c.kind == "capacitor" for c in components):
                yield label, piece, part, (node(piece.between[0], bench), node(piece.between[1], bench))


def _kind(at: Node, bench: Bench) -> str:
    from ...tubes import say_electrode

    if not at.tube:
        return ""
    tube = bench.tubes.get(at.tube)
    word = say_electrode(at.key, tube.role if tube else None, direct=bool(tube and tube.heater.direct))
    return kind_of(word, tube)


def _in_place(piece: Part | PartSection, part: Part, date: datetime.date | None) -> Component | None:
    old = piece.was[0] if piece.was else None
    new = piece.now[0] if piece.now else None
    before = date is not None and part.fitted is not None and date < part.fitted
    return old if before or new is None else new


def _tight(component: Component | None) -> bool:
    leakage = component.leakage if component else None
    if leakage is None:
        return False
    if leakage.ohms and leakage.ohms.si is not None:
        return bool(leakage.ohms.si >= TIGHT_OHMS)
    amps, volts = leakage.current, leakage.at
    if amps is None or amps.si is None or volts is None or not volts.si:
        return False
    return bool(amps.si * TIGHT_OHMS <= volts.si)
