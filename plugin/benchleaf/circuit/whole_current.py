"""The set's whole direct current, by what was read across the resistors or the field coil in its negative return."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS
from .back_bias import return_path
from .places import rail

if TYPE_CHECKING:
    from .circuit import Circuit

__all__ = ["WholeCurrent", "newest_whole_current", "whole_current"]


MOST_AMPS = 0.5
"""More than the rectifier tubes of a receiver give; what makes more is a wrong reading. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class WholeCurrent:
    """All that the rectifier or the B battery gives: by the volts across ``parts`` in the list ``run`` (Ohm's law)."""

    amps: float
    parts: tuple[str, ...]
    run: str


def newest_whole_current(circuit: Circuit) -> WholeCurrent | None:
    """The whole current of the newest list that tells it."""
    return next((found for run in reversed([*circuit.direct_volts]) if (found := whole_current(circuit, run))), None)


def whole_current(circuit: Circuit, run: str) -> WholeCurrent | None:
    """The whole current of a list; None where B- is the chassis, was not read in it, or the ohms cannot be right."""
    volts = circuit.direct_volts.get(run, {}).get(circuit.network.point(rail(B_MINUS)))
    path = return_path(circuit.mains, circuit.network, circuit.day_of(run))
    if not volts or path is None or not path.ohms:
        return None
    amps = abs(volts) / path.ohms
    return WholeCurrent(amps, path.parts, run) if amps <= MOST_AMPS else None
