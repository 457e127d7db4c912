"""Which tubes cannot have a fault, as readings show: no gas where a grid came right later, not dead where it swings."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import TYPE_CHECKING

from .judging import ZERO_VOLTS, single

if TYPE_CHECKING:
    from ...circuit.in_place import When
    from ..bench import Bench
    from .runs import Readings

__all__ = ["at_work", "stayed", "without_gas"]

_SWINGS = -1.0
"""Volts at an oscillator's grid that only its own grid current makes; contact potential is less (common practice)."""


def at_work(run: Readings, bench: Bench) -> frozenset[str]:
    """The positions whose tube oscillates in a list: its oscillator grid makes volts, which no dead tube does."""
    swing = {grid for stage in bench.circuit.network.stages if stage.mixes or stage.oscillates for grid in stage.grids}
    read = ((value.spot.place, single(value.quantity)) for value in run.values)
    return frozenset(place.tube for place, volts in read if place in swing and volts is not None and volts < _SWINGS)


def without_gas(run: Readings, later: Sequence[Readings], bench: Bench) -> frozenset[str]:
    """The positions whose tube of ``run`` was still in when a later list read its grid at zero.

    Gas stays in a bulb and grows: a grid that another part's repair took to zero was never driven by it. A tube that
    went with the repair is not judged, nor one whose culprit the record names itself.
    """
    stood = {
        value.spot.place.tube
        for after in later
        for value in after.values
        if value.spot.is_control_grid and (volts := single(value.quantity)) is not None and abs(volts) < ZERO_VOLTS
    }
    return frozenset(tube for tube in stood if stayed(tube, run.when, bench) and not _is_named(tube, bench))


def stayed(tube: str, when: When, bench: Bench) -> bool:
    """Whether the tube at a position is the one that stands there now."""
    changed = next((one for name, one in bench.record.changed_tubes.items() if str(name) == tube), None)
    if changed is None:
        return True
    return bool(changed.date and isinstance(when, datetime.date) and changed.date <= when)


def _is_named(tube: str, bench: Bench) -> bool:
    """Whether a fault's cause or cure speaks of a tube: it may have been exchanged without a line of its own."""
    said = " ".join(str(text) for fault in bench.record.faults for text in (fault.cause, fault.cure) if text)
    return tube.casefold() in said.casefold().replace(",", " ").replace(";", " ").split()
