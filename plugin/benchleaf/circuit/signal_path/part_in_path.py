"""In which stage of a set a tube, a place or a part does its work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.place_words import B_MINUS, B_PLUS, CHASSIS, LINE, NEUTRAL
from ..elements import CAPACITOR
from ..places import CONTROL_GRIDS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from ..circuit import Circuit
    from ..elements import Element
    from ..places import Place
    from .path_stage import PathStage, SignalPath

_BEFORE_OTHERS = (*CONTROL_GRIDS, "cathode", "screen", "diode", "plate")
"""Where a part lies between two stages, it is of the one whose grid it is at: there its fault is felt."""


HEATED = ("heater string", "filaments", "heater winding")
"""Stages that stand for all heaters of a set."""


def stage_of_key(path: SignalPath, keys: Iterable[str]) -> PathStage | None:
    """The first of ``keys`` that the set has a stage of."""
    by_key = {stage.key: stage for stage in _stages(path)}
    return next((by_key[key] for key in keys if key in by_key), None)


def stage_of_tube(path: SignalPath, position: str) -> PathStage | None:
    """The first stage that a tube does; None for a position that has none."""
    return next((s for s in _stages(path) if any(tube.position == position for tube in s.tubes)), None)


def stage_of_part(circuit: Circuit, path: SignalPath, part: str) -> PathStage | None:
    """The stage that a part of the parts list belongs to; None where its ends do not tell."""
    own = next((stage for stage in _stages(path) if part in stage.parts), None)
    elements = [element for element in circuit.network.elements if part in (element.name, element.listed.part)]
    ends = [end for element in elements for end in element.ends if end.tube and end.electrode in _BEFORE_OTHERS]
    ends.sort(key=lambda end: _BEFORE_OTHERS.index(end.electrode))
    found = (stage_of_place(circuit, path, end) for end in ends)
    return own or next((stage for stage in found if stage), None) or _of_supply(path, elements)


def stage_of_place(circuit: Circuit, path: SignalPath, place: Place) -> PathStage | None:
    """The stage whose section has an electrode; the first of its tube where no section is told apart."""
    tube = circuit.tubes.get(place.tube)
    keys = {section.name: section.electrodes for section in tube.sections} if tube else {}
    for stage in _stages(path):
        for own in stage.tubes:
            if own.position == place.tube and (not own.section or place.key in keys.get(own.section, ())):
                return stage
    return stage_of_tube(path, place.tube)


def _stages(path: SignalPath) -> Iterator[PathStage]:
    for lane in path.lanes:
        yield from lane.all_stages()


def _of_supply(path: SignalPath, elements: list[Element]) -> PathStage | None:
    """The filter for a capacitor on a rail, the line supply for what lies at the line or from B- to the chassis."""
    by_key = {stage.key: stage for stage in _stages(path)}
    for element in elements:
        kinds = {end.kind for end in element.ends}
        if kinds & {LINE, NEUTRAL} or kinds == {B_MINUS, CHASSIS}:
            return by_key.get("line")
        if B_PLUS in kinds and (element.kind == CAPACITOR or kinds == {B_PLUS}):
            return by_key.get("filter")
    return None
