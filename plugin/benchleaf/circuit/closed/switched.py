"""Which points of a set its wave-change switch has taken off the supply, as the readings tell: 0 V there."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.sections.list_names import measured_runs
from ..currents import OFF_VOLTS
from ..elements import SWITCH
from ..frequencies import is_fm

if TYPE_CHECKING:
    from ..circuit import Circuit
    from ..places import Place

_FM = ("FM", "VHF", "UKW")
"""What the key for frequency modulation is marked with, besides the names of the set's own bands."""


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


def resting_oscillators(circuit: Circuit, run: str) -> frozenset[Place]:
    """The plates of AM oscillators without supply in a list that was read with the FM key pressed, as written.

    The switch that takes them off need not be among the parts.
    """
    written = next((one.controls for name, one in circuit.record.readings.items() if str(name) == run), None)
    if not written or not _names_fm(circuit, str(written)):
        return frozenset()
    stages = (one for one in circuit.network.stages if one.oscillates)
    plates = {circuit.network.point(plate) for stage in stages for plate in stage.plates}
    read = circuit.direct_volts.get(run, {})
    return frozenset(at for at in plates if abs(read.get(at, OFF_VOLTS)) < OFF_VOLTS)


def _names_fm(circuit: Circuit, controls: str) -> bool:
    bands = [re.escape(str(name)) for name, band in circuit.record.bands.items() if is_fm(band)]
    return bool(re.search(rf"(?<!\w)(?:{'|'.join([*_FM, *bands])})(?!\w)", controls, re.I))


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
    measured = measured_runs(circuit.record.readings)
    yield from reversed(measured)
    yield from (str(name) for name in circuit.record.readings if str(name) not in measured)
