"""A run of readings with every single fault tried in the set's own network."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median
from typing import TYPE_CHECKING

from ...circuit.closed.closing import close
from ...circuit.closed.rail_feed import USUAL_SPREAD, usual_volts
from ...circuit.closed.switched import switched_otherwise
from ...circuit.in_place import in_place
from ...circuit.supposed_faults.candidates import supposed_faults
from ...circuit.supposed_faults.found_bad import as_found, found_bad, merged
from ...circuit.supposed_faults.freed_rails import FreedNet, freed
from ...circuit.supposed_faults.tried_set import Tried
from ...circuit.usual_limits import METER_OHMS
from ...electrics.dc_elements import BOTTOM, DcVariant
from ...record.place_words import B_PLUS
from .comparison import line_scale
from .judging import middle, single
from .kept_tubes import at_work, without_gas
from .ranking import Ranking, ranking
from .reference_point import other_reference, shift
from .runs import PUBLISHED
from .trial import Probe, Sheet, Trial, telling, tried

if TYPE_CHECKING:
    from ...circuit.closed.closed_network import Closed
    from ...circuit.places import Place
    from ...electrics.dc_elements import DcNet
    from ..bench import Bench
    from .runs import Readings

LEAST_READ = 4
"""With fewer readings there is nothing to tell faults apart by, and the rules alone speak."""


MOST_TRIED = 10_000
"""Faults times points of a network that are solved: about a quarter of a second."""


@dataclass(frozen=True)
class TooLarge:
    """A run in whose network nothing is tried: it has too many points and faults."""

    run: Readings


@dataclass(frozen=True)
class TriedRun:
    """One run with its trial: ``read`` has volts by the index of their probe, ``ranking`` what they come to.

    ``freed`` are the nodes of rails that the closed network holds and the trial does not.
    """

    run: Readings
    closed: Closed
    freed: frozenset[int]
    trial: Trial
    read: Mapping[int, float]
    ranking: Ranking


def tried_run(
    run: Readings, expected: Sequence[Readings], bench: Bench, later: Sequence[Readings] = ()
) -> TriedRun | TooLarge | None:
    """A run with every fault tried in it, unless they are too many. ``later`` lists rule faults out that do not heal.

    None where its network does not close or too little was read.
    """
    closed = close(bench.circuit, run.name, to_try=True)
    if closed.net is None:
        return None
    told = (one for one in expected if one.kind == PUBLISHED)
    sheet = next((one for one in told if not switched_otherwise(bench.circuit, run.name, one.name)), None)
    published = _published(sheet, run, closed, bench) if sheet else {}
    marked = dict(_marked(closed, run))
    rails = _by_node(published, closed)
    free = freed(closed, rails, marked) or _freed_about(closed, marked, bench) or FreedNet(closed.net, frozenset())
    volts = _read(run, closed)
    probes = tuple(_probes(run, closed, free, volts))
    read = {n: volts[probe.place] for n, probe in enumerate(probes) if probe.place in volts}
    if len(read) < LEAST_READ:
        return None
    of_set = Tried(
        bench.circuit,
        run.when,
        closed,
        free.net,
        run.conditions.line_from == "the list",
        frozenset(probes[n].node for n in read),
        free.first,
    )
    factor = line_scale(bench.circuit, sheet, run, bench.words).factor if sheet else None
    bad = found_bad(of_set)
    right = marked | dict(merged("", (one.marked for one in bad)).ohms)
    meant = _meant(_by_node(published, closed), right, free.net, factor) if sheet and published else None
    held_to = Sheet(published, sheet.conditions.input_ohms or METER_OHMS, meant) if sheet and meant else None
    cannot_be = {"gas": without_gas(run, later, bench), "dead": at_work(run, bench), "weak": of_unknown_bias(closed)}
    faults = tuple(one for one in supposed_faults(of_set) if one.subject not in cannot_be.get(one.fault, ()))
    if len(faults) * free.net.size > MOST_TRIED:
        return TooLarge(run)
    trial = tried(as_found(of_set, bad), faults, probes, closed.reference, held_to)
    if not trial.faults:
        return None
    trial = telling(trial, list(read))
    return TriedRun(run, closed, free.nodes, trial, read, ranking(trial, read))


def of_unknown_bias(closed: Closed) -> frozenset[str]:
    """The tubes of which neither what biases the cathode is written nor where the grid's leak goes.

    What they draw is a guess, and that they draw less says nothing of them.
    """
    bottom = {one.place.tube for one in closed.taken if one.how == "at the bottom" and one.place}
    leak = {one.place.tube for one in closed.taken if one.how == "grid leak" and one.place}
    return frozenset(bottom & leak)


def _freed_about(closed: Closed, marked: Mapping[str, float], bench: Bench) -> FreedNet | None:
    """The network with its held rails about where they usually are; None where none is held."""
    held = closed.net.held if closed.net else ()
    first = next((one for one in held if closed.is_held_rail_node(one.node)), None)
    if first is None:
        return None
    return freed(closed, {first.node: usual_volts(bench.circuit)}, marked, USUAL_SPREAD)


def _probes(run: Readings, closed: Closed, free: FreedNet, volts: Mapping[Place, float]) -> Iterator[Probe]:
    """Every point that was read or may be read, each once: those that are evidence.

    The grids of a converter are not, nor the oscillator's grid of a tube that no point is known of: the oscillation
    makes their volts. ``volts`` are what was read: without a written range the meter stood on one that holds it.
    """
    swinging = {closed.node(grid) for one in closed.stages if one.converter for grid in one.stage.grids}
    read = (value.spot.place for value in run.values)
    swinging |= {closed.node(place) for place in read if place.electrode == "osc grid"}
    seen = {BOTTOM, closed.reference, *swinging}
    of_stages = (
        place
        for one in closed.stages
        for place in (one.stage.cathode, *one.stage.grids, *one.stage.screens, *one.stage.plates)
        if place is not None
    )
    rails = (place for place in closed.nodes if place.kind == B_PLUS)
    own = {_point(value.spot.place, closed): value.conditions for value in run.values if value.conditions}
    for place in (*(value.spot.place for value in run.values), *of_stages, *rails):
        node = closed.node(place)
        if node is not None and node not in seen and (closed.is_given(place) or node in free.nodes):
            seen.add(node)
            at = _point(place, closed)
            meter = own.get(at, run.conditions)
            yield Probe(at, node, meter.ohms_at(volts.get(at, 0.0)) or METER_OHMS)


def _point(place: Place, closed: Closed) -> Place:
    return closed.points.get(place, place)


def _read(run: Readings, closed: Closed) -> dict[Place, float]:
    """The direct volts of a list by point; a bound is none. Of a point that was read at several places the middle."""
    return _middles(
        (_point(value.spot.place, closed), volts)
        for value in run.values
        if value.spot.current == "DC" and not value.spot.pin and (volts := single(value.quantity)) is not None
    )


def _middles(read: Iterable[tuple[Place, float]]) -> dict[Place, float]:
    """The middle of what was read at each point: a misread place among three does not count."""
    found: dict[Place, list[float]] = {}
    for place, volts in read:
        found.setdefault(place, []).append(volts)
    return {place: median(volts) for place, volts in found.items()}


def _published(sheet: Readings, run: Readings, closed: Closed, bench: Bench) -> dict[Place, float]:
    """The maker's volts at the points of the network, counted from the run's point; none where that cannot be."""
    network = bench.circuit.network
    moved = shift(network, sheet, run) or 0.0
    if other_reference(network, sheet, run) and not moved:
        return {}
    return _middles(
        (_point(value.spot.place, closed), found + moved)
        for value in sheet.values
        if value.spot.current == "DC" and not value.spot.pin and (found := middle(value.quantity)) is not None
    )


def _by_node(volts: Mapping[Place, float], closed: Closed) -> dict[int, float]:
    """Volts above the bottom by node; none where they are counted from a point whose own volts are not known."""
    if closed.reference != BOTTOM:
        return {}
    return {node: volts[place] for place, node in closed.nodes.items() if place in volts}


def _marked(closed: Closed, run: Readings) -> Iterator[tuple[str, float]]:
    """The ohms that resistors are marked with, by the name of their branch."""
    for name, element in closed.parts.items():
        inside = in_place(element.listed, run.when)
        if name not in closed.capacitors and inside.kind == "resistor" and inside.nominal:
            yield name, inside.nominal


def _meant(at: Mapping[int, float], marked: Mapping[str, float], net: DcNet, factor: float | None) -> DcVariant:
    """The set as its maker meant it: parts as marked, what is held at the sheet's volts, at the sheet's line.

    ``net`` is the set before what was found bad was put in; ``factor`` is that from the sheet's line to the one that it
    stands at.
    """
    names = {branch.name for branch in net.branches}
    ohms = tuple((name, nominal) for name, nominal in marked.items() if name in names)
    held = tuple((one.name, at[one.node]) for one in net.held if one.node in at)
    charging = tuple(
        (one.name, replace(one.charging, peak_volts=one.charging.peak_volts / (factor or 1.0)))
        for one in net.rectifiers
    )
    return DcVariant("meant", ohms=ohms, held=held, charging=charging)
