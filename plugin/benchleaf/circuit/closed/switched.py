"""Which points of a set its wave-change switch has taken off the supply, as the readings tell: 0 V there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.sections.readings import is_published
from ..currents import OFF_VOLTS
from ..elements import SWITCH

if TYPE_CHECKING:
    from ..circuit import Circuit
    from ..places import Place


def switched_off(circuit: Circuit, run: str) -> frozenset[Place]:
    """The ends of switches with next to nothing on them, by the list that tells: ``run``, else another, latest first.

    A switch that no list tells of is closed. A point that a fault has pulled down is no end of a switch.
    """
    told = {end: _told(circuit, run, end) for end in _ends(circuit)}
    return frozenset(end for end, volts in told.items() if volts is not None and abs(volts) < OFF_VOLTS)


def switched_otherwise(circuit: Circuit, one: str, other: str) -> bool:
    """Whether two lists were read with a switch in two positions: a point without supply in one only."""
    read, there = (circuit.direct_volts.get(name, {}) for name in (one, other))
    ends = {at for at in _ends(circuit) if at in read and at in there}
    return any((abs(read[at]) < OFF_VOLTS) != (abs(there[at]) < OFF_VOLTS) for at in ends)


def _ends(circuit: Circuit) -> frozenset[Place]:
    elements = (element for element in circuit.network.elements if element.kind == SWITCH)
    return frozenset(circuit.network.point(end) for element in elements for end in element.ends)


def _told(circuit: Circuit, run: str, at: Place) -> float | None:
    found = (circuit.direct_volts.get(name, {}).get(at) for name in _lists(circuit, run))
    return next((volts for volts in found if volts is not None), None)


def _lists(circuit: Circuit, run: str) -> Iterator[str]:
    """The lists of a set in the order in which they tell: those measured before what is published."""
    if run:
        yield run
    lists = [(str(name), is_published(name, one)) for name, one in circuit.record.readings.items()]
    yield from (name for name, published in reversed(lists) if not published)
    yield from (name for name, published in lists if published)
