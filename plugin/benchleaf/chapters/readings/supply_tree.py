"""The tree of the supply: rectifier, rails, and what each rail feeds, with volts as read and currents as computed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...record.sections.parts import node_name
from .comparison import Compared
from .judging import OUTSIDE
from .operating import AGREE, Operating
from .places import RAIL
from .resistors import Node, Resistor, Through, node, node_of, resistors, voltages
from .rows import Row
from .stages import stages

if TYPE_CHECKING:
    from ..bench import Bench

_ONE_POINT, _THROUGH_A_WINDING = 0.01, 0.15
_AMBIGUOUS_WORDS = frozenset({"b-", "chassis"})


@dataclass(frozen=True, slots=True)
class Branch:
    """One line of the tree. ``level`` 0 is the rectifier; volts and amperes, None where they cannot be known.

    ``via`` is the resistor or winding it hangs on, with its ohms; ``off`` the verdict where it is out of its band.
    ``unaccounted_amps`` is what a filter resistor carries beyond the loads, where all are known. ``contradicts`` says
    that those known without an assumption take more than the resistor brings, by more than they may be off by; it is
    below zero then.
    """

    level: int
    name: str
    volts: float | None = None
    expected_volts: float | None = None
    amps: float | None = None
    amps_how: str = ""
    via: str = ""
    via_ohms: float | None = None
    off: str = ""
    unaccounted_amps: float | None = None
    contradicts: bool = False


@dataclass(frozen=True, slots=True)
class _Load:
    rail: Node
    branch: Branch


@dataclass(frozen=True, slots=True)
class _Supply:
    volts: Mapping[Node, float]
    names: Mapping[Node, str]
    rows: Mapping[Node, Row]
    drains: Sequence[Through]
    loads: Sequence[_Load] = field(default=())


def supply_tree(
    found: Compared, bench: Bench, drains: Sequence[Through], points: Mapping[str, Operating]
) -> tuple[Branch, ...]:
    """The tree of one run; empty where it has no rail to begin with, or only one with nothing on it."""
    volts = voltages(found.run, bench.record)
    rows = {node_of(row.spot): row for row in found.rows if row.current == "DC" and row.measured_qualifier}
    names = _rails(rows, volts, bench)
    if not names:
        return ()
    parts = resistors(bench, found.run.date)
    supply = _Supply(volts, names, rows, drains)
    supply = replace(supply, loads=tuple(_loads(supply, found, bench, parts, points)))
    root = max(names, key=lambda at: volts[at])
    tree = [*_rectifier(found, bench), *_rail(root, None, 1, supply, set())]
    return tuple(tree) if len(tree) > 2 else ()


def _rails(rows: Mapping[Node, Row], volts: Mapping[Node, float], bench: Bench) -> dict[Node, str]:
    """Every supply rail that was read by a name; a rectifier's cathode that reads the same is the same rail."""
    rails = {at: rows[at].tube for at in volts if at in rows and rows[at].spot.kind == RAIL and volts[at] > 0}
    for at in volts:
        tube = bench.tubes.get(at.tube)
        if at not in rows or tube is None or "rectifier" not in (tube.role or "") or rows[at].spot.kind != "cathode":
            continue
        twin = next((r for r in rails if abs(volts[r] - volts[at]) <= _ONE_POINT * volts[at]), None)
        if twin:
            rails[twin] += f", {at.tube} {rows[at].spot.said}"
        elif volts[at] > 0:
            rails[at] = f"{at.tube} {rows[at].spot.said}"
    return rails


def _rectifier(found: Compared, bench: Bench) -> Iterator[Branch]:
    for row in found.rows:
        tube = bench.tubes.get(row.tube)
        rectifies = tube is not None and "rectifier" in (tube.role or "")
        if rectifies and row.current == "AC" and row.spot.kind == "plate" and row.measured_volts is not None:
            off = row.verdict if row.verdict in OUTSIDE else ""
            name = f"{row.tube} {row.spot.said}, AC"
            yield Branch(0, name, row.measured_volts, row.adjusted_volts, off=off)


def _rail(at: Node, feed: Through | None, level: int, supply: _Supply, seen: set[Node]) -> Iterator[Branch]:
    if at in seen or level > 6:
        return
    seen.add(at)
    row = supply.rows[at]
    onward = [d for d in supply.drains if _rail_of(d.from_node, supply) == at and _rail_of(d.to_node, supply) != at]
    loads = [load.branch for load in supply.loads if load.rail == at]
    left, over = None, False
    if feed is not None and loads:
        further = sum(d.amps for d in onward)
        certain = sum(load.amps or 0.0 for load in loads if load.amps_how != "assumed share")
        over = certain + further > feed.amps * (1 + AGREE)
        if over or all(load.amps is not None for load in loads):
            left = feed.amps - further - (certain if over else sum(load.amps or 0.0 for load in loads))
    yield Branch(
        level,
        supply.names[at],
        supply.volts[at],
        row.adjusted_volts,
        feed.amps if feed else None,
        "through the resistor" if feed else "",
        feed.part if feed else "",
        feed.ohms if feed else None,
        row.verdict if row.verdict in OUTSIDE else "",
        left,
        over,
    )
    yield from (replace(load, level=level + 1) for load in loads)
    for drain in onward:
        to = _rail_of(drain.to_node, supply)
        if to is not None:
            yield from _rail(to, drain, level + 1, supply, seen)
    if level == 1:
        for other in sorted(supply.names, key=lambda rail: -supply.volts[rail]):
            yield from _rail(other, None, level + 1, supply, seen)


def _rail_of(at: Node, supply: _Supply) -> Node | None:
    """The rail that a node is: itself, or the one that a rectifier's cathode is one point with."""
    if at in supply.names:
        return at
    volts = supply.volts.get(at)
    if volts is None or (at in supply.rows and supply.rows[at].spot.kind not in ("cathode", RAIL)):
        return None
    return next((r for r in supply.names if abs(supply.volts[r] - volts) <= _ONE_POINT * volts), None)


def _loads(
    supply: _Supply,
    found: Compared,
    bench: Bench,
    parts: Sequence[Resistor],
    points: Mapping[str, Operating],
) -> Iterator[_Load]:
    """Every plate and screen under the rail that feeds it."""
    joined = list(_windings(bench))
    for stage in stages(found.run, bench.tubes, tuple(map(str, bench.record.tubes))):
        point = points.get(stage.name)
        for kind, nodes in (("plate", stage.plates), ("screen", stage.screens)):
            for at in nodes[:1]:
                volts = supply.volts.get(at)
                if volts is None or at not in supply.rows:
                    continue
                rail, via, ohms = _fed_by(at, volts, supply, parts, joined)
                if rail is None:
                    continue
                row = supply.rows[at]
                amps = getattr(point, f"{kind}_amps") if point else None
                how = getattr(point, f"{kind}_by") if point else ""
                off = row.verdict if row.verdict in OUTSIDE else ""
                name = f"{stage.name} {row.spot.said}"
                yield _Load(rail, Branch(0, name, volts, row.adjusted_volts, amps, how, via, ohms, off))


def _fed_by(
    at: Node, volts: float, supply: _Supply, parts: Sequence[Resistor], joined: Sequence[tuple[str, Node, Node]]
) -> tuple[Node | None, str, float | None]:
    """The rail an electrode hangs on: by its resistor, by a winding of the parts list, else the nearest above it."""
    for part in parts:
        if at in part.ends and (rail := _rail_of(part.other(at), supply)):
            return rail, part.part, None if part.bound else part.ohms
    for name, one, other in joined:
        if at in (one, other) and (rail := _rail_of(other if at == one else one, supply)):
            return rail, name, None
    if any(at in part.ends for part in parts):
        return None, "", None
    near = [r for r in supply.names if -_ONE_POINT <= 1 - volts / supply.volts[r] <= _THROUGH_A_WINDING]
    return (min(near, key=lambda r: abs(supply.volts[r] - volts)), "", None) if near else (None, "", None)


def _windings(bench: Bench) -> Iterable[tuple[str, Node, Node]]:
    """The parts without a value (transformers, coils) that lie between two places."""
    for name, part in bench.record.parts.items():
        valued = any(component.value for component in (*part.sheet, *part.was, *part.now))
        if part.between and not valued and node_name(part.between[0]) not in _AMBIGUOUS_WORDS:
            yield str(name), node(part.between[0], bench), node(part.between[1], bench)
