"""From a circuit to a network that can be solved: the rules by which it is closed where the record says nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM, DcNet
from ...record.place_words import AVC, B_MINUS
from ...record.sections.reading_lists import is_published
from ..capacitor_kinds import kind_of_capacitor
from ..elements import CAPACITOR, FUSE, RESISTOR, SWITCH, WINDING, WIRE, Element
from ..hand_bias import biases_by_hand
from ..in_place import When
from ..line_scaling import line_factor, line_of, selected_at, share_at_primary, volts_of
from ..places import Place, rail
from ..usual_limits import JOINED_OHMS
from ..warm_field import at_work
from .closed_network import Closed, Lacking, TakenAs
from .in_the_making import NetInTheMaking
from .loaded_winding import on_its_own_load
from .rail_feed import Feeding, feed, hold_bias, join_rectifier, rails
from .stage_closing import close_stages
from .switched import switched_off, switched_otherwise

if TYPE_CHECKING:
    from ..circuit import Circuit
    from ..in_place import InPlace
    from ..winding_source import WindingSource

IF_WINDING_OHMS, OUTPUT_WINDING_OHMS = 20.0, 300.0
"""Windings whose ohms nobody wrote. Common practice, no source."""
PAPER_OHMS, ELECTROLYTIC_OHMS = 1e11, 1e8
MEASURED_SPREAD, UNTOLD_SPREAD, WINDING_SPREAD = 0.02, 0.09, 0.5
AVC_OHMS = 1e5
FUSE_OHMS = 1.0
CLOSED_SWITCH_OHMS = 0.1
_OFF_THE_LINE = ("line", "neutral", "socket", "AC")


def close(
    circuit: Circuit,
    run: str = "",
    *,
    line_volts: float | None = None,
    known_rails: bool = False,
    to_try: bool = False,
) -> Closed:
    """The circuit as a network for direct current, with the parts it had when a list of readings was taken.

    ``run`` names that list (empty: the set as it is now, and nothing was read). ``line_volts`` is the line it is closed
    for: that of the list, or the set's own, where it is not given. ``known_rails`` holds rails at what was read there,
    or is published, before it computes them from the line or winding. ``to_try`` makes a network to try
    faults in, not to tell volts from: a first rail of which nothing is known stands at what is usual.
    """
    if circuit.mains.on_batteries:
        return Closed(None, lacks=(Lacking("three-way" if circuit.mains.from_line else "battery"),))
    making, found = _fed(circuit, run, line_volts, "known" if known_rails else "computed", to_try=to_try)
    lacks = making.lacks
    if not close_stages(making, found):
        # What the rails do not bear here lowers them by nobody knows what: only known rails stand.
        making, found = _fed(circuit, run, line_volts, "all known", to_try=to_try)
        lacks = [*lacks, *making.lacks]
        close_stages(making, found)
        _leave_unknown(making, [at for at in found if making.point(at) not in making.held])
        _leave_return_unknown(making)
    lacks = list(dict.fromkeys(lacks))
    if not making.sources:
        return Closed(None, lacks=tuple(lacks) or (Lacking("rail", rail("B+1")),))
    return _closed(making, lacks, run)


def _leave_unknown(making: NetInTheMaking, rails: list[Place]) -> None:
    """What hangs on rails of which nothing is known stays unknown, with every electrode of a stage among it."""
    hanging = making.behind({making.node(at) for at in rails})
    lost = {place for place, node in making.nodes.items() if node in hanging}
    making.unknown |= lost
    for closed in making.stages:
        stage = closed.stage
        electrodes = (*stage.plates[:1], *stage.screens, *((stage.cathode,) if stage.cathode else ()))
        if any(making.point(at) in lost for at in electrodes):
            making.unknown |= {making.point(at) for at in electrodes}


def _leave_return_unknown(making: NetInTheMaking) -> None:
    """What the set's whole current makes negative stays unknown where a stage is left out that has its part in it."""
    back = making.node(making.b_minus)
    if back != BOTTOM:
        hanging = making.behind({back})
        making.unknown |= {place for place, node in making.nodes.items() if node in hanging}


def _fed(
    circuit: Circuit, run: str, line_volts: float | None, how: Feeding, *, to_try: bool
) -> tuple[NetInTheMaking, list[Place]]:
    """The parts of a set between their places, and its rails fed."""
    making = _made(circuit, run, line_volts)
    making.to_try = to_try
    day: When = circuit.day_of(run) if run else "now"
    for element in circuit.network.elements:
        _put(making, element, day)
    _common_points(making)
    found = join_rectifier(making, rails(making))
    feed(making, found, how)
    hold_bias(making)
    return making, found


def _closed(making: NetInTheMaking, lacks: list[Lacking], run: str) -> Closed:
    held = {h.node for h in making.held_nodes}
    net = DcNet(
        max(making.nodes.values(), default=BOTTOM) + 1,
        tuple(making.branches),
        tuple(making.tubes),
        tuple(making.held_nodes),
        tuple(r for r in making.rectifiers if r.node not in held),
    )
    if making.stages and len(net.rectifiers) == 1 and making.winding is not None:
        net = _with_its_winding(making, net, *making.winding)
    points = {place: making.point(place) for place in (*making.circuit.network.points, *making.joined)}
    reference = _reference(making.circuit, run)
    node = making.nodes.get(making.point(reference), BOTTOM)
    return Closed(
        net if making.stages else None,
        dict(making.nodes),
        points,
        node,
        tuple(making.stages),
        dict(making.parts),
        dict(making.capacitors),
        tuple(making.taken),
        tuple(lacks),
        frozenset(making.held),
        frozenset(making.unknown - {making.point(making.bottom)}),
        making.line_volts,
    )


def _with_its_winding(making: NetInTheMaking, net: DcNet, source: WindingSource, share: float, amps: float) -> DcNet:
    """The network with the winding's volts without load; which they were taken for is told."""
    bare, name = source.no_load(amps), net.rectifiers[0].name
    volts = bare.volts
    if bare.taken == "on load" and not source.ac.rated_amps:
        net, volts = on_its_own_load(net, source, share, amps)
    making.taken.append(TakenAs(bare.taken, part=name, value=volts, unit="V", source=source.ac.run))
    return net


def _reference(circuit: Circuit, run: str) -> Place:
    """The point that a list was read against, or that one would be."""
    written = next((readings.to for name, readings in circuit.record.readings.items() if name == run), None)
    return circuit.places.read(str(written)) if written else rail(circuit.grounding.reference)


def _made(circuit: Circuit, run: str, line_volts: float | None) -> NetInTheMaking:
    nominal = circuit.mains.volts.nominal if circuit.mains.volts else None
    line = line_volts or line_of(circuit, run) or nominal
    bottom, b_minus = _commons(circuit, run)
    published = {}
    sheets = [str(name) for name, readings in circuit.record.readings.items() if is_published(name, readings)]
    sheet = next((name for name in sheets if not (run and switched_otherwise(circuit, run, name))), "")
    if sheet:
        at = line_of(circuit, sheet) or nominal
        factor = 1.0
        if line and at and circuit.mains.from_line:
            on_sheet, on_run = selected_at(circuit, sheet, published=True), selected_at(circuit, run)
            factor = line_factor(at, volts_of(on_sheet), line, volts_of(on_run), nominal)
            factor *= share_at_primary(circuit, run)
        published = {p: v * factor for p, v in _above(circuit, sheet, bottom).items()}
    read = _above(circuit, run, bottom) if run else {}
    off = switched_off(circuit, run)
    return NetInTheMaking(circuit, bottom, b_minus, read, published, run, sheet, line, off=off)


def _commons(circuit: Circuit, run: str) -> tuple[Place, Place]:
    """What readings are taken against, and where the supply's current returns; mostly one point.

    The two differ where the set's bias is made by parts between B- and the chassis.
    """
    written = _reference(circuit, run)
    bottom = written if circuit.network.is_common(written) else rail(circuit.grounding.reference)
    return bottom, rail(B_MINUS) if circuit.network.from_b_minus_to_chassis() else bottom


def _above(circuit: Circuit, name: str, bottom: Place) -> dict[Place, float]:
    """The direct volts of a list above the bottom of the supply, where that was read too or is what it was read to."""
    volts: Mapping[Place, float] = circuit.direct_volts.get(name, {})
    at_bottom = volts.get(circuit.network.point(bottom), 0.0)
    return {point: value - at_bottom for point, value in volts.items()}


def _common_points(making: NetInTheMaking) -> None:
    """Joins B- and chassis where nothing is written between the two; AVC stands at the bottom without a signal."""
    bottom = making.node(making.bottom)
    for place in [p for p in making.nodes if p.is_common]:
        if making.nodes[place] != bottom and not making.circuit.network.from_b_minus_to_chassis():
            making.branch("B- to chassis", place, making.bottom, JOINED_OHMS)
            making.taken.append(TakenAs("joined", place, making.bottom))
    for place in [p for p in making.nodes if p.kind == AVC]:
        making.branch(f"{place.name()} without signal", place, making.bottom, AVC_OHMS)
        making.taken.append(TakenAs("AVC", place, making.bottom))


def _put(making: NetInTheMaking, element: Element, day: When) -> None:
    """One part of the record between its places, as it was on a day."""
    inside = at_work(element.listed, day)
    ends = element.ends
    if element.kind == WIRE or not inside.is_there or any(_off(end) for end in ends):
        return
    name = _free_name(element.name, making)
    if element.listed.piece.ends_by_job:
        making.taken.append(TakenAs("by its job", *element.ends, part=element.name))
    if element.kind == CAPACITOR:
        electrolytic = kind_of_capacitor(inside) == "electrolytic"
        making.branch(name, *ends, ELECTROLYTIC_OHMS if electrolytic else PAPER_OHMS)
        making.capacitors[name] = electrolytic
        making.parts[name] = element
        return
    if element.kind == SWITCH and not any(making.point(end) in making.off for end in ends):
        making.branch(name, *ends, CLOSED_SWITCH_OHMS)
        making.parts[name] = element
        return
    if element.kind not in (RESISTOR, WINDING, FUSE):
        return
    known = (FUSE_OHMS, 0.0) if element.kind == FUSE else _ohms(making, element, inside)
    if known is not None and element.kind == RESISTOR and biases_by_hand(making.circuit.network, element):
        known = known[0] / 2, ANYWHERE_SPREAD
        making.taken.append(TakenAs("control", part=element.name, value=known[0], unit="ohm"))
    if known is None:
        making.lacks.append(Lacking("ohms", part=element.name))
        return
    making.branch(name, *ends, *known)
    making.parts[name] = element


ANYWHERE_SPREAD = 1 / math.sqrt(3)
"""One standard deviation, of its middle, of what may be anything between nothing and the whole."""


def _off(end: Place) -> bool:
    """Whether an end is on the line, on a socket or at a heater: no direct current of the stages passes there."""
    return end.kind in _OFF_THE_LINE or (end.electrode == "heater" and not end.kind)


def _free_name(name: str, making: NetInTheMaking) -> str:
    """A part's name, once: what a circuit change adds may bear one that there is already."""
    taken = {branch.name for branch in making.branches}
    return name if name not in taken else f"{name} ({len(taken)})"


def _ohms(making: NetInTheMaking, element: Element, inside: InPlace) -> tuple[float, float] | None:
    """Ohms and their deviation; None where they are not known and cannot be taken as usual."""
    if inside.kind == "resistor" and inside.value and not inside.condition and math.isfinite(inside.value):
        if inside.how == "measured":
            return inside.value, MEASURED_SPREAD
        off = max(-inside.tolerance.low, inside.tolerance.high) if inside.tolerance else 0.0
        return inside.value, off / math.sqrt(3) if off else UNTOLD_SPREAD
    nominal = inside.nominal if inside.kind == "resistor" else None
    if nominal:
        making.taken.append(TakenAs("sound", part=element.name, value=nominal, unit="ohm"))
        return nominal, UNTOLD_SPREAD
    if element.kind != WINDING:
        return None
    plates = [end for end in element.ends if end.kind in ("plate", "screen", "grid", "cathode") and end.tube]
    if not plates:
        return None
    ohms = OUTPUT_WINDING_OHMS if any(end.swings for end in plates) else IF_WINDING_OHMS
    making.taken.append(TakenAs("winding", part=element.name, value=ohms, unit="ohm"))
    return ohms, WINDING_SPREAD
