"""All single faults of a set on a day, each as a change of its network."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM, DcBranch, DcVariant
from ..elements import CAPACITOR, RESISTOR, WINDING
from ..in_place import in_place
from .seen_by_meters import emission_on, insulation, kind_of_capacitor, resistor_off
from .sites import site_of
from .supposed_fault import LINE, NOTHING, FaultSite, SupposedFault
from .trade_weights import BAD, NOTHING_WRONG, Trade, sizes

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcNet, RectifierInNet, TubeInNet
    from ...electrics.reservoir import Charging
    from ..circuit import Circuit
    from ..elements import Element
    from ..places import Place

GOOD_EMISSION = 0.75
"""A tube that a tester shows at this much or more is not weak. Common practice, no source."""


USUAL_HERTZ = 60.0
"""Taken where an alternating line's frequency is not written; at 50 Hz a dried-out capacitor gives a little less."""


@dataclass(frozen=True)
class Tried:
    """A set in which faults are tried: its circuit and network on a day.

    ``nodes`` maps points of the circuit to nodes of the network. ``line_read`` says that the line's voltage was
    measured; ``loads`` has for each rectifier the ohms that its B+ is about loaded with.
    """

    circuit: Circuit
    day: datetime.date | None
    net: DcNet
    nodes: Mapping[Place, int]
    line_read: bool
    loads: Mapping[str, float]

    @cached_property
    def reservoirs(self) -> frozenset[int]:
        """The nodes that rectifiers charge."""
        return frozenset(rectifier.node for rectifier in self.net.rectifiers)

    def elements(self, *kinds: str) -> Iterator[tuple[Element, FaultSite]]:
        """The parts of some kinds with both ends in the network, and where each stands."""
        network = self.circuit.network
        for element in network.elements:
            ends = {self.nodes.get(network.point(end)) for end in element.ends}
            if element.kind in kinds and len(ends) == len(element.ends) and None not in ends:
                yield element, site_of(element, network, self.nodes, self.reservoirs)


def supposed_faults(tried: Tried) -> tuple[SupposedFault, ...]:
    """Every fault in every size, that nothing is wrong first. What was measured sound has none."""
    off = {name: ohms for name, ohms, _ in _measured_off(tried)}
    whole = DcVariant(NOTHING, ohms=tuple(off.items()))
    return (
        SupposedFault("", NOTHING, NOTHING_WRONG, whole, FaultSite("")),
        *_of_resistors(tried, off),
        *_of_windings(tried),
        *_of_capacitors(tried),
        *_of_tubes(tried),
        *_of_supply(tried),
    )


def _measured_off(tried: Tried) -> Iterator[tuple[str, float, str]]:
    """The resistors that a meter has found off, each with its nominal ohms and how it is off."""
    names = {branch.name for branch in tried.net.branches}
    for element, _ in tried.elements(RESISTOR):
        how, nominal = resistor_off(in_place(element.listed, tried.day))
        if how in ("high", "low", "open") and nominal and element.name in names:
            yield element.name, nominal, how


def _of_resistors(tried: Tried, off: Mapping[str, float]) -> Iterator[SupposedFault]:
    """The faults of resistors. One measured off is tried as it was measured, with all others that are off as marked."""
    ohms = {branch.name: branch.ohms for branch in tried.net.branches}
    for element, site in tried.elements(RESISTOR):
        how, _ = resistor_off(in_place(element.listed, tried.day))
        if how == "sound" or element.name not in ohms:
            continue
        if element.name in off:
            others = tuple((name, nominal) for name, nominal in off.items() if name != element.name)
            weight = BAD * sum(one.weight for one in sizes("resistor") if one.fault == how)
            variant = DcVariant(f"{element.name} {how}", ohms=others)
            yield SupposedFault(element.name, how, weight, variant, site, measured=True)
            continue
        for one in sizes("resistor"):
            yield _changed(element.name, one, ohms[element.name] * one.size, site)


def _of_windings(tried: Tried) -> Iterator[SupposedFault]:
    names = {branch.name for branch in tried.net.branches}
    for element, site in tried.elements(WINDING):
        if element.name in names:
            for one in sizes("winding"):
                yield _changed(element.name, one, one.size, site)


def _changed(name: str, one: Trade, ohms: float, site: FaultSite) -> SupposedFault:
    variant = DcVariant(f"{name} {one.fault} {one.size:g}", ohms=((name, ohms),))
    return SupposedFault(name, one.fault, one.weight, variant, site, one.size)


def _of_capacitors(tried: Tried) -> Iterator[SupposedFault]:
    """Leaks and shorts. A leak that was measured is tried in the size that it has, too."""
    for element, site in tried.elements(CAPACITOR):
        inside = in_place(element.listed, tried.day)
        if not inside.is_there or inside.condition == "open":
            continue
        kind = kind_of_capacitor(inside)
        seen, leak = insulation(inside, kind)
        one_way, other_way = sorted(site.nodes)
        at = "grid" if site.where == "coupling" else site.where
        for one in sizes(kind, at):
            shorted = one.fault == "shorted"
            known_tight = seen == "sound" or (shorted and inside.seen.measured is not None)
            if known_tight and inside.condition != "shorted":
                continue
            bad = (seen == "bad" and not shorted) or (shorted and inside.condition == "shorted")
            across = DcBranch(f"{element.name} {one.fault}", (other_way, one_way), one.size)
            variant = DcVariant(f"{element.name} {one.fault} {one.size:g}", added=(across,))
            weight = one.weight * (BAD if bad else 1.0)
            yield SupposedFault(element.name, one.fault, weight, variant, site, one.size, measured=bad)
        if seen == "bad" and leak:
            across = DcBranch(f"{element.name} leaks", (other_way, one_way), leak)
            variant = DcVariant(f"{across.name} as measured", added=(across,))
            weight = BAD * sum(one.weight for one in sizes(kind, at) if one.fault == "leaks")
            yield SupposedFault(element.name, "leaks", weight, variant, site, leak, measured=True)


def _of_tubes(tried: Tried) -> Iterator[SupposedFault]:
    positions = {stage.name: stage.tube for stage in tried.circuit.network.stages}
    for tube in tried.net.tubes:
        position = positions.get(tube.name, tube.name.split()[0])
        emission = emission_on(tried.circuit.record, position, tried.day)
        for one in sizes("tube"):
            tested = emission is not None and one.fault in ("weak", "dead")
            if tested and emission is not None and emission >= GOOD_EMISSION:
                continue
            variant = _of_tube(tube, one)
            if variant is not None:
                weight = one.weight * (BAD if tested else 1.0)
                yield SupposedFault(
                    position, one.fault, weight, variant, FaultSite("tube"), one.size, tube.name, tested
                )


def _of_tube(tube: TubeInNet, one: Trade) -> DcVariant | None:
    """A tube's fault; None where it makes no difference: no grid to draw current from, a cathode at the bottom."""
    name = f"{tube.name} {one.fault} {one.size:g}"
    if one.does == "emission":
        return DcVariant(name, emission=((tube.name, one.size),))
    if one.does == "grid amps":
        return DcVariant(name, grid_amps=((tube.name, one.size),)) if tube.grid not in (None, BOTTOM) else None
    if tube.cathode == BOTTOM:
        return None
    return DcVariant(name, added=(DcBranch(name, (tube.cathode, BOTTOM), one.size),))


def _of_supply(tried: Tried) -> Iterator[SupposedFault]:
    for rectifier in tried.net.rectifiers:
        site = FaultSite("rectifier", None, frozenset((rectifier.node, rectifier.bottom)))
        for one in sizes("rectifier"):
            if rectifier.charging.perveance is not None:
                weaker = replace(rectifier.charging, perveance=rectifier.charging.perveance * one.size)
                yield _charged(rectifier, weaker, one, rectifier.name, site)
        yield from _of_line(tried, rectifier)
        yield from _of_reservoir(tried, rectifier)


def _of_line(tried: Tried, rectifier: RectifierInNet) -> Iterator[SupposedFault]:
    if tried.line_read or not tried.circuit.mains.from_line:
        return
    for one in sizes("line"):
        peak = rectifier.charging.peak_volts * one.size
        yield _charged(rectifier, replace(rectifier.charging, peak_volts=peak), one, LINE, FaultSite("line"))


def _of_reservoir(tried: Tried, rectifier: RectifierInNet) -> Iterator[SupposedFault]:
    """The first filter capacitor with little of its capacitance left, where its size and the line's hertz are known."""
    from ...electrics.dried_out import dried_out

    mains, load = tried.circuit.mains, tried.loads.get(rectifier.name)
    hertz = None if mains.direct else mains.hertz or USUAL_HERTZ
    if not hertz or not load or rectifier.charging.table:
        return
    for element, site in tried.elements(CAPACITOR):
        inside = in_place(element.listed, tried.day)
        nominal = inside.nominal or inside.value
        if site.where != "reservoir" or rectifier.node not in site.nodes or not nominal or inside.value is None:
            continue
        if inside.how == "measured" and inside.value > nominal / 2:
            continue
        tables = dried_out(rectifier.charging, tuple(nominal * one.size for one in sizes("reservoir")), hertz, load)
        for one, charging in zip(sizes("reservoir"), tables, strict=True):
            yield _charged(rectifier, charging, one, element.name, site)


def _charged(rectifier: RectifierInNet, charging: Charging, one: Trade, subject: str, site: FaultSite) -> SupposedFault:
    name = f"{subject} {one.fault} {one.size:g}"
    variant = DcVariant(name, charging=((rectifier.name, charging),))
    return SupposedFault(subject, one.fault, one.weight, variant, site, one.size)
