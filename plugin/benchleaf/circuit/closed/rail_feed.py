"""What feeds a set's rails: the rectifier with the line or winding behind it, or volts that are read or published."""

from __future__ import annotations

import math
from statistics import median
from typing import TYPE_CHECKING, Literal

from ...electrics.dc_elements import RectifierInNet
from ...electrics.reservoir import Charging
from ...record.place_words import B_PLUS
from ...tubes.rectifiers import rectifier_figures
from ..in_place import When
from ..line_scaling import as_it_stands
from ..places import Place, rail_order
from ..rectifier import TAP_OHMS, WIRING_OHMS, dry_rectifier
from ..rectifier_feed import plates_beside, series_ohms
from ..winding_source import usual_drain, winding_source
from .closed_network import Lacking, TakenAs

if TYPE_CHECKING:
    from ..circuit import Circuit
    from .in_the_making import NetInTheMaking

Feeding = Literal["computed", "known", "all known"]

RECTIFIER_SPREAD = (0.20, 0.40, 0.03)
"""Deviations of a rectifier's perveance, of the resistance in series with it, and of the alternating volts."""
READ_SPREAD, PUBLISHED_SPREAD = 0.02, 0.03
USUAL_SPREAD = 0.3
"""What B+ is off the volts that the output tube is published at. Common practice, no source."""
_USUAL_DROP = (20.0, 0.1)
_LEAST_VOLTS = 5.0
_USUAL_VOLTS = 250.0
_LEAST_BIAS_VOLTS = 2.0
"""Below this a grid's own current may have made a point negative. Common practice, no source."""


def rails(making: NetInTheMaking) -> list[Place]:
    """The rails of a set as current flows: the rectifier's cathode or the first rail, then by their numbers."""
    circuit = making.circuit
    named = [end for element in circuit.network.elements for end in element.ends]
    named += [place for run in circuit.record.readings.values() for place, _ in circuit.places.of_readings(run.points)]
    named += list(circuit.network.points)
    found = {making.point(place) for place in named if place.kind == B_PLUS}
    return sorted(found, key=lambda rail: (not _is_output(rail, making), rail_order(rail)))


def _is_output(rail: Place, making: NetInTheMaking) -> bool:
    return any(at.kind == B_PLUS and at.tube for at in making.circuit.network.joined_to(rail))


def join_rectifier(making: NetInTheMaking, found: list[Place]) -> list[Place]:
    """Joins cathodes of the rectifier that no part leaves to the first rail of a name: a wire that nobody writes."""
    named = [rail for rail in found if not rail.tube]
    kept = []
    for rail in found:
        if rail.tube and named and not making.circuit.network.at(rail):
            making.joined[rail] = named[0]
        else:
            kept.append(rail)
    return kept


def feed(making: NetInTheMaking, found: list[Place], how: Feeding) -> None:
    """Feeds the rails: those that are ``computed`` from the line or winding before what is ``known``, or the other way.

    ``all known`` holds every rail that is read or published, and computes none.
    """
    if not found:
        return
    first = making.first_rail = found[0]
    charging = None if how == "all known" or (how == "known" and making.read(first)) else _charging(making)
    if charging is not None:
        name, spread = charging[1], RECTIFIER_SPREAD
        back = making.node(making.b_minus)
        making.rectifiers.append(RectifierInNet(name, charging[0], making.node(first), back, *spread))
        making.taken += charging[2]
        making.sources.add(making.node(first))
    for at in making.off:
        making.hold(at, 0.0, 0.0)
        making.held.add(at)
        making.sources.add(making.node(at))
        making.taken.append(TakenAs("switched off", at))
    for rail in found:
        if making.point(rail) in making.off:
            continue
        if how == "all known" or not making.reaches(rail, making.sources):
            _hold(making, rail)


def _hold(making: NetInTheMaking, rail: Place, *, below: bool = False) -> None:
    """Holds a rail at what was read there, or is published; writes down that neither is known."""
    at = making.point(rail)
    read, published = making.volts.get(at), making.published.get(at)
    if read is not None and (below or read > _LEAST_VOLTS):
        making.hold(rail, read, READ_SPREAD)
        making.taken.append(TakenAs("rail read", rail, value=read, unit="V", source=making.run))
    elif published is not None and (below or published > _LEAST_VOLTS):
        making.hold(rail, published, PUBLISHED_SPREAD)
        making.taken.append(TakenAs("rail published", rail, value=published, unit="V", source=making.sheet))
    elif making.to_try and rail == making.first_rail:
        making.hold(rail, usual_volts(making.circuit), USUAL_SPREAD)
    else:
        making.lacks.append(Lacking("rail", rail))
        return
    making.held.add(at)
    making.sources.add(making.node(rail))


def usual_volts(circuit: Circuit) -> float:
    """About what B+ is in a set with such an output tube, in volts: what its plate is published at, or else 250 V."""
    outputs = (tube for tube in circuit.tubes.values() if "output" in (tube.role or ""))
    published = [point.plate_volts for tube in outputs for point in tube.typical if point.plate_volts]
    return median(published) if published else _USUAL_VOLTS


def hold_bias(making: NetInTheMaking) -> None:
    """Holds a bias supply that is no part of the record: a point below the bottom that only leads to grids."""
    for at, volts in {**making.published, **making.volts}.items():
        place = making.point(at)
        if volts > -_LEAST_BIAS_VOLTS or at.tube or at.is_common or at.kind == B_PLUS or place not in making.nodes:
            continue
        hanging = making.behind({making.node(place)})
        leading = [b for b in making.branches if hanging & set(b.ends) and b.name not in making.capacitors]
        if leading and not hanging & making.sources and all(set(branch.ends) <= hanging for branch in leading):
            _hold(making, place, below=True)


def _position(circuit: Circuit) -> str:
    """Where the rectifier tube stands; empty where there is none."""
    tubes = circuit.tubes.items()
    return next((p for p, t in tubes if "rectifier" in (t.role or "") and "output" not in (t.role or "")), "")


def _charging(making: NetInTheMaking) -> tuple[Charging, str, list[TakenAs]] | None:
    """What charges the reservoir, its name, and what was taken for granted; None where it cannot be computed."""
    circuit, line = making.circuit, making.line_volts
    day: When = circuit.day_of(making.run) if making.run else "now"
    position, dry = _position(circuit), dry_rectifier(circuit.record, circuit.components, day)
    nominal = circuit.mains.volts.nominal if circuit.mains.volts else None
    if circuit.mains.vibrator or circuit.mains.direct or not line or not (position or dry):
        return None
    tube = circuit.tubes.get(position)
    if circuit.mains.straight_from_line:
        peak, paths, ohms = math.sqrt(2) * line, 1, WIRING_OHMS + series_ohms(circuit, day)
        lamp = circuit.record.heaters.pilot_lamp if circuit.record.heaters else None
        ohms += TAP_OHMS if lamp is not None and "tap" in str(lamp).casefold() else 0.0
    else:
        source = winding_source(circuit, making.run, day, dry)
        if source is None:
            return None
        share = as_it_stands(circuit, making.run, line) / (source.ac.line_volts or nominal or line)
        amps = usual_drain(circuit, making.run)
        bare = source.no_load(amps)
        making.winding = (source, share, amps)
        peak, paths, ohms = math.sqrt(2) * bare.volts * share, source.paths, source.ohms
    # Of a doubler each half is a half-wave rectifier of its own, and the two stand in series.
    stacked = 2 if circuit.doubling else 1
    name = position or (dry.part if dry else "")
    taken = [TakenAs("line", value=line, unit="V"), TakenAs("charging", part=name, value=ohms, unit="ohm")]
    if dry is not None:
        return Charging(paths, peak, ohms, None, dry.drop_volts, stacked=stacked), name, taken
    figures = rectifier_figures(tube) if tube else None
    drop, amps = (figures.drops[0].volts, figures.drops[0].amps) if figures and figures.drops else _USUAL_DROP
    if figures and figures.arc:
        return Charging(paths, peak, ohms, None, drop, stacked=stacked), name, taken
    beside = plates_beside(circuit, position, making.first_rail) if making.first_rail else 1
    return Charging(paths, peak, ohms, beside * amps / drop**1.5, stacked=stacked), name, taken
