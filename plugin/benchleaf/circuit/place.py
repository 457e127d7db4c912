"""From a record to the circuit of its set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .circuit import Circuit
from .names import cold, look_over
from .rules import contradictions, grounding, heater_windings, side_and_list

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.slips import Slips


def place(record: Record, slips: Slips) -> Circuit:
    """The circuit of a record. What names nothing, or contradicts itself, is told to ``slips``."""
    tubes = look_over(record, slips)
    contradictions(record, slips)
    circuit = Circuit(record, tubes)
    grounding.look_over(circuit, slips)
    heater_windings.look_over(circuit, slips)
    side_and_list.look_over(circuit, slips)
    cold.look_over(circuit, slips)
    return circuit
