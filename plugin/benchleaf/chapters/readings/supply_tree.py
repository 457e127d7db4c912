"""The tree of the supply: rectifier, rails, and what each rail feeds, with volts as read and currents as computed."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.elements import FUSE, RESISTOR, SWITCH, WINDING
from ...circuit.operating import AGREE, Operating
from ...circuit.places import Place
from ...circuit.resistors import ResistorInPlace, Through
from ...circuit.usual_limits import ONE_POINT, THROUGH_A_WINDING
from ...record.figures import to_figures
from ...record.place_words import B_PLUS
from .comparison import ComparedRun
from .judging import OUTSIDE
from .read_stages import stages
from .rows import ReadingRow
from .spots import RAIL
from .volts import voltages

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ..bench import Bench

_MAY_FEED = (RESISTOR, WINDING, FUSE, SWITCH)


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
    rail: Place
    branch: Branch


@dataclass(frozen=True, slots=True)
class _Supply:
    """One run's supply: volts by place, rails by their point with name and row, rows by place.

    ``parts`` are the resistors that were in, ``unknown`` the positions of tubes that the table does not know.
    """

    network: Network
    volts: Mapping[Place, float]
    names: Mapping[Place, str]
    rails: Mapping[Place, ReadingRow]
    rows: Mapping[Place, ReadingRow]
    drains: Sequence[Through]
    parts: Sequence[ResistorInPlace] = ()
    unknown: frozenset[str] = frozenset()
    loads: Sequence[_Load] = field(default=())


def supply_tree(
    found: ComparedRun, bench: Bench, drains: Sequence[Through], points: Mapping[str, Operating]
) -> tuple[Branch, ...]:
    """The tree of one run; empty where it has no rail to begin with, or only one with nothing on it."""
    network = bench.circuit.network
    volts = voltages(found.run, network)
    rows = {row.spot.place: row for row in found.rows if row.current == "DC" and row.measured_qualifier}
    rails, names = _rails(rows, volts, bench)
    if not names:
        return ()
    parts = bench.circuit.resistors(found.run.when, bench.words)
    unknown = frozenset(str(at) for at in bench.record.tubes if not getattr(bench.tubes.get(str(at)), "sections", ()))
    supply = _Supply(network, volts, names, rails, rows, drains, parts, unknown)
    supply = replace(supply, loads=tuple(_loads(supply, found, parts, points)))
    root = max(names, key=lambda at: volts[at])
    tree = [*_rectifier(found, bench), *_rail(root, None, 1, supply, set())]
    return tuple(tree) if len(tree) > 2 else ()


def _rails(
    rows: Mapping[Place, ReadingRow], volts: Mapping[Place, float], bench: Bench
) -> tuple[dict[Place, ReadingRow], dict[Place, str]]:
    """Every supply rail that was read, by its point, and what it is called: by its name, or as a rectifier's cathode.

    A cathode that is one point with a rail, or reads the same where the record does not say, is that rail.
    """
    network = bench.circuit.network
    rails = {
        network.point(at): row
        for at, row in rows.items()
        if row.spot.kind == RAIL and volts.get(at, 0.0) > 0 and _may_be_a_rail(at, network)
    }
    names = {at: row.tube for at, row in rails.items()}
    for at, row in rows.items():
        if at.kind != "B+" or row.spot.kind != "cathode" or volts.get(at, 0.0) <= 0:
            continue
        twin = network.point(at) if network.point(at) in rails else None
        twin = twin or next((r for r in rails if abs(volts[r] - volts[at]) <= ONE_POINT * volts[at]), None)
        if twin:
            names[twin] += f", {at.tube} {row.spot.said}"
        else:
            rails[network.point(at)] = row
            names[network.point(at)] = f"{at.tube} {row.spot.said}"
    return rails, names


def _may_be_a_rail(at: Place, network: Network) -> bool:
    """Whether a point that was read may be one of the supply: by its name, or by a part that is listed at it.

    Of a name of the writer's own nothing else says so: ``ratio detector sum`` hangs on no B+.
    """
    return at.kind == B_PLUS or (not at.kind and bool(network.at(at, *_MAY_FEED)))


def _rectifier(found: ComparedRun, bench: Bench) -> Iterator[Branch]:
    for row in found.rows:
        tube = bench.tubes.get(row.tube)
        rectifies = tube is not None and "rectifier" in (tube.role or "")
        if rectifies and row.current == "AC" and row.spot.kind == "plate" and row.measured_volts is not None:
            off = row.verdict if row.verdict in OUTSIDE else ""
            name = f"{row.tube} {row.spot.said}, AC"
            yield Branch(0, name, row.measured_volts, row.adjusted_volts, off=off)


def _rail(at: Place, feed: Through | None, level: int, supply: _Supply, seen: set[Place]) -> Iterator[Branch]:
    if at in seen or level > 6:
        return
    seen.add(at)
    row = supply.rails[at]
    onward = _onward(at, supply)
    loads = [load.branch for load in supply.loads if load.rail == at]
    behind = list(_behind_switches(at, supply, seen))
    left, over = None, False
    if feed is not None and (loads or behind):
        fed = (at, *behind)
        carried = _carried(fed, supply)
        all_loads = [load.branch for load in supply.loads if load.rail in fed and load.branch.via not in carried]
        onward_amps = sum(d.amps for rail in fed for d in _onward(rail, supply))
        left, over = _left(feed, all_loads, further=onward_amps + sum(carried.values()))
        if not over and _feeds_the_unknown(fed, supply, carried):
            left = None
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
        to_figures(left),
        over,
    )
    yield from (replace(load, level=level + 1) for load in loads)
    for drain in onward:
        to = _rail_of(drain.to_node, supply)
        if to is not None:
            yield from _rail(to, drain, level + 1, supply, seen)
    for rail in behind:
        yield from _rail(rail, None, level + 1, supply, seen)
    if level == 1:
        for other in sorted(supply.names, key=lambda rail: -supply.volts[rail]):
            yield from _rail(other, None, level + 1, supply, seen)


def _carried(rails: Collection[Place], supply: _Supply) -> dict[str, float]:
    """What each resistor takes from some rails to a point that was read and is none, or to the bottom, in amperes.

    A bleeder is one, and one that feeds a screen with the divider behind it: it carries more than the screen.
    """
    network = supply.network
    resistors = {element.name for element in network.elements if element.kind == RESISTOR}
    found: dict[str, float] = {}
    for part in supply.parts:
        for here, there in (part.ends, part.ends[::-1]):
            to = 0.0 if network.is_common(there) else supply.volts.get(there)
            rail = _rail_of(here, supply)
            known = rail in rails and to is not None and part.part in resistors and not part.bound and part.ohms > 0
            if known and rail is not None and to is not None and _rail_of(there, supply) is None:
                found[part.part] = (supply.volts[rail] - to) / part.ohms
    return found


def _feeds_the_unknown(rails: Collection[Place], supply: _Supply, carried: Collection[str]) -> bool:
    """Whether a tube that the table does not know hangs on a rail with no resistor that tells its current."""
    for at, row in supply.rows.items():
        if at.tube not in supply.unknown or row.spot.kind not in ("plate", "screen"):
            continue
        feeds = {element.name for element in supply.network.feeds(at)}
        if not feeds & set(carried) and _fed_by(at, supply.volts[at], supply, supply.parts)[0] in rails:
            return True
    return False


def _onward(at: Place, supply: _Supply) -> list[Through]:
    """What filter resistors take on from a rail to others."""
    return [d for d in supply.drains if _rail_of(d.from_node, supply) == at and _rail_of(d.to_node, supply) != at]


def _left(feed: Through, loads: Sequence[Branch], *, further: float) -> tuple[float | None, bool]:
    """What a feed brings beyond its loads, None where one is not known; and whether those known take more than that."""
    certain = sum(load.amps or 0.0 for load in loads if load.amps_how != "assumed share")
    over = certain + further > feed.amps * (1 + AGREE)
    if over:
        return feed.amps - further - certain, True
    if any(load.amps is None for load in loads):
        return None, False
    return feed.amps - further - sum(load.amps or 0.0 for load in loads), False


def _behind_switches(at: Place, supply: _Supply, seen: Collection[Place]) -> Iterator[Place]:
    """The rails that a switch joins to one: those that read as it does."""
    network, volts = supply.network, supply.volts
    joined = [{network.point(end) for end in one.ends} for one in network.elements if one.kind == SWITCH]
    for other in supply.names:
        beside = other not in seen and any({at, other} <= points for points in joined)
        if beside and abs(volts[other] - volts[at]) <= ONE_POINT * volts[at]:
            yield other


def _rail_of(at: Place, supply: _Supply) -> Place | None:
    """The rail that a place is: itself, or the one that a rectifier's cathode is one point with."""
    point = supply.network.point(at)
    if point in supply.names:
        return point
    volts = supply.volts.get(at)
    if volts is None or (at in supply.rows and supply.rows[at].spot.kind not in ("cathode", RAIL)):
        return None
    return next((r for r in supply.names if abs(supply.volts[r] - volts) <= ONE_POINT * volts), None)


def _loads(
    supply: _Supply, found: ComparedRun, parts: Sequence[ResistorInPlace], points: Mapping[str, Operating]
) -> Iterator[_Load]:
    """Every plate and screen under the rail that feeds it."""
    for stage in stages(found.run, supply.network):
        point = points.get(stage.name)
        for kind, places in (("plate", stage.plates), ("screen", stage.screens)):
            for at in places[:1]:
                volts, row = supply.volts.get(at), supply.rows.get(at)
                if volts is None or row is None:
                    continue
                rail, via, ohms = _fed_by(at, volts, supply, parts)
                if rail is None:
                    continue
                amps = getattr(point, f"{kind}_amps") if point else None
                how = getattr(point, f"{kind}_by") if point else ""
                off = row.verdict if row.verdict in OUTSIDE else ""
                name = f"{stage.name} {row.spot.said}"
                yield _Load(rail, Branch(0, name, volts, row.adjusted_volts, amps, how, via, ohms, off))


def _fed_by(
    at: Place, volts: float, supply: _Supply, parts: Sequence[ResistorInPlace]
) -> tuple[Place | None, str, float | None]:
    """The rail an electrode hangs on: by a wire, by what feeds it in the parts list, else the nearest above it."""
    network = supply.network
    if network.point(at) in supply.names:
        return network.point(at), "", None
    ohms = {part.part: None if part.bound else part.ohms for part in parts}
    feeds = network.feeds(at)
    for element in feeds:
        if rail := _rail_of(network.other_end(element, at), supply):
            return rail, element.name, ohms.get(element.name)
    if any(element.name in ohms for element in feeds):
        return None, "", None
    near = [r for r in supply.names if -ONE_POINT <= 1 - volts / supply.volts[r] <= THROUGH_A_WINDING]
    return (min(near, key=lambda r: abs(supply.volts[r] - volts)), "", None) if near else (None, "", None)
