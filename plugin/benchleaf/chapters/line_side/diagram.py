"""Which symbols stand where in the drawings of the line side, and what became of each: kept, removed or added.

Both drawings are laid out from both states together, so that a part that stayed stands in the same place in both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...record.kind_of_part import UNIT_BY_KIND
from ...record.sections.line_side_words import POLARISED
from ...record.units import say
from ...words import Words
from .barriers import Barrier, ComputedComponent, is_wired
from .described import DescribedState, is_one_switch
from .topology import CHASSIS

if TYPE_CHECKING:
    from ...drawing.schematic import State

MOST_SLOTS = 4
"""Chains and touchable parts that are drawn; a drawing with more cannot be read, and the table has them all."""

MOST_LETTERS = 15


@dataclass(frozen=True, slots=True)
class DrawnSymbol:
    """One symbol: ``labels`` are written beside it."""

    kind: str
    labels: tuple[str, ...]
    state: State = "kept"


SymbolRow = tuple[DrawnSymbol, ...]
"""Symbols in series between two nodes."""


@dataclass(frozen=True, slots=True)
class TouchPart:
    """Touchable parts below the chassis at one point of the drawing: several where all are bolted on.

    ``barrier`` holds the chains between the chassis and a part, and is empty where it is bolted on.
    """

    names: tuple[str, ...]
    barrier: tuple[SymbolRow, ...]


@dataclass(frozen=True, slots=True)
class Diagram:
    """Everything in one drawing. A slot is None where the other state has something and this one has not.

    ``most_names`` is how many touchable parts stand at one point, in either state.
    """

    plug: DrawnSymbol
    hot_fuse: DrawnSymbol | None
    return_fuse: DrawnSymbol | None
    hot_switch: DrawnSymbol | None
    return_switch: DrawnSymbol | None
    across: tuple[SymbolRow | None, ...]
    b_minus: tuple[SymbolRow | None, ...]
    wired: bool
    hot_to_chassis: tuple[SymbolRow | None, ...]
    return_to_chassis: tuple[SymbolRow | None, ...]
    double_wound: bool
    autotransformer: bool
    earthed: bool
    earth_state: State
    earth_by_plug: bool
    polarised: bool
    chassis_touchable: bool
    parts: tuple[TouchPart | None, ...]
    most_names: int


def diagrams(before: DescribedState | None, after: DescribedState | None, words: Words) -> dict[str, Diagram]:
    """The drawings of both states by ``before`` and ``after``; in one alone nothing changed."""
    found = {}
    if before is not None:
        found["before"] = _diagram(before, after, "removed", words)
    if after is not None:
        found["after"] = _diagram(after, before, "added", words)
    return found


def clipped(text: str) -> str:
    """A text short enough to stand beside a symbol."""
    flat = " ".join(text.split())
    return flat if len(flat) <= MOST_LETTERS else f"{flat[: MOST_LETTERS - 1].rstrip()}…"


def _diagram(here: DescribedState, other: DescribedState | None, fate: State, words: Words) -> Diagram:
    """One state's drawing; what the ``other`` state has not carries ``fate``."""
    mine, theirs = here.wiring, other.wiring if other else None
    fuse, other_fuse = _fuses(here), _fuses(other)
    switch, other_switch = _switches(here), _switches(other)
    if other is not None and is_one_switch(here, other):
        other_switch = switch
    plug = words.of_key(here.plug or "plug not stated")
    earth_new = theirs is not None and mine.earthed and not theirs.earthed
    groups = _groups(*((here, other) if fate == "removed" else (other, here)))

    def rows(of_mine: Barrier, of_theirs: Barrier | None) -> tuple[SymbolRow | None, ...]:
        return _in_slots(of_mine, of_theirs, fate)

    return Diagram(
        plug=DrawnSymbol("plug", (*_plug_lines(plug), *fuse.get("", ())), _plug_state(here, other, fate)),
        hot_fuse=_marked("fuse", fuse.get("hot lead"), other_fuse.get("hot lead"), other, fate),
        return_fuse=_marked("fuse", fuse.get("return lead"), other_fuse.get("return lead"), other, fate),
        hot_switch=_marked("switch", switch.get("hot lead"), other_switch.get("hot lead"), other, fate),
        return_switch=_marked("switch", switch.get("return lead"), other_switch.get("return lead"), other, fate),
        across=rows(mine.across, theirs.across if theirs else None),
        b_minus=() if mine.double_wound else rows(mine.b_minus, theirs.b_minus if theirs else None),
        wired=not mine.double_wound and is_wired(mine.b_minus),
        hot_to_chassis=rows(mine.hot_to_chassis, theirs.hot_to_chassis if theirs else None),
        return_to_chassis=rows(mine.return_to_chassis, theirs.return_to_chassis if theirs else None),
        double_wound=mine.double_wound,
        autotransformer=here.supply == "autotransformer",
        earthed=mine.earthed,
        earth_state=fate if earth_new else "kept",
        earth_by_plug=here.plug == "three-pin with earth",
        polarised=here.plug == POLARISED,
        chassis_touchable=any(part.name == CHASSIS and part.listed for part in mine.parts),
        parts=_parts(here, other, groups, fate),
        most_names=max((len(names) for names in groups), default=1),
    )


def _plug_lines(plug: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in plug.replace("two-pin polari", "two-pin, polari").split(","))


def _plug_state(here: DescribedState, other: DescribedState | None, fate: State) -> State:
    return fate if other is not None and other.plug != here.plug else "kept"


def _fuses(described: DescribedState | None) -> dict[str, tuple[str, ...]]:
    """The fuse's label by its lead; of one whose lead is not written by none: it stands beside the plug."""
    if described is None or described.fuse is None:
        return {}
    labels = ("fuse", clipped(described.fuse.said)) if described.fuse.said != "fuse" else ("fuse",)
    if described.fuse.place == "both leads":
        return {"hot lead": labels, "return lead": labels}
    return {described.fuse.place: labels if described.fuse.place else (f"and {' '.join(labels)},", "place not stated")}


def _switches(described: DescribedState | None) -> dict[str, tuple[str, ...]]:
    if described is None:
        return {}
    if described.switch is None:
        return {"hot lead": ("switch,", "lead not stated")}
    if described.switch == "double-pole":
        return {"hot lead": ("double-pole", "switch"), "return lead": ("its other pole",)}
    lead = {"B- lead": "return lead", "hot lead": "hot lead"}.get(described.switch)
    return {lead: ("switch",)} if lead else {}


def _marked(
    kind: str, labels: tuple[str, ...] | None, theirs: tuple[str, ...] | None, other: DescribedState | None, fate: State
) -> DrawnSymbol | None:
    if labels is None:
        return None
    return DrawnSymbol(kind, labels, "kept" if other is None or labels == theirs else fate)


def _rows(barrier: Barrier) -> list[SymbolRow]:
    return [tuple(_drawn(component) for component in chain) for chain in barrier if chain]


def _drawn(component: ComputedComponent) -> DrawnSymbol:
    if component.kind == "wire":
        return DrawnSymbol("wire", ("wire",))
    of_class = (f"class {component.of_class}",) if component.of_class else ()
    labels = (say(component.value, UNIT_BY_KIND[component.kind]), *of_class)
    return DrawnSymbol(component.kind, tuple(clipped(line) for line in labels))


def _in_slots(mine: Barrier, theirs: Barrier | None, fate: State) -> tuple[SymbolRow | None, ...]:
    """The chains of one state in the slots of both: chains of one kind share a slot, resistors stand first."""
    rows, other = _rows(mine), _rows(theirs or ())
    slots: list[SymbolRow | None] = []
    for kind in ("wire", "resistor", "inductor", "capacitor"):
        own = [row for row in rows if row[0].kind == kind]
        width = max(len(own), sum(1 for row in other if row[0].kind == kind))
        fates: list[SymbolRow | None] = [
            _with_state(row, "kept" if theirs is None or row in other else fate) for row in own
        ]
        slots += [*fates, *[None] * (width - len(own))]
    return tuple(slots[:MOST_SLOTS])


def _with_state(row: SymbolRow, state: State) -> SymbolRow:
    return tuple(DrawnSymbol(d.kind, d.labels, state) for d in row)


def _groups(first: DescribedState | None, second: DescribedState | None) -> list[tuple[str, ...]]:
    """Touchable parts of both states but the chassis, in the order written; those that are only bolted on together."""
    sides = [{part.name: part for part in d.wiring.parts} if d else {} for d in (first, second)]
    groups: dict[tuple[str | bool, ...], list[str]] = {}
    for name in dict.fromkeys(name for side in sides for name in side if name != CHASSIS):
        bolted_on = not any(side[name].barrier for side in sides if name in side)
        groups.setdefault(tuple(name in side for side in sides) if bolted_on else (name,), []).append(name)
    return [tuple(names) for names in groups.values()][:MOST_SLOTS]


def _parts(
    here: DescribedState, other: DescribedState | None, groups: Sequence[tuple[str, ...]], fate: State
) -> tuple[TouchPart | None, ...]:
    mine = {part.name: part for part in here.wiring.parts}
    theirs = {part.name: part for part in other.wiring.parts} if other else {}
    found: list[TouchPart | None] = []
    for names in groups:
        part = mine.get(names[0])
        if part is None:
            found.append(None)
            continue
        compared = theirs[names[0]].barrier if names[0] in theirs else None
        rows = _in_slots(part.barrier, compared, fate)
        found.append(TouchPart(names, tuple(row for row in rows if row is not None)))
    return tuple(found)
