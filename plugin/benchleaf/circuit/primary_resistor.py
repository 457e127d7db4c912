"""A resistor in series with a mains transformer's primary: what it leaves of the line for the transformer.

Fitted where today's mains is higher than the highest tap. Its drop is taken off the line's volts as they are, for a
loaded transformer draws nearly in phase (common practice, no source).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.sections.reading_lists import measured_runs
from .in_place import UNTOLD, in_place, when_read
from .line_watts import line_watts, nameplate_of
from .powered_steps import read_amps
from .usual_limits import NEAR_LINE

if TYPE_CHECKING:
    from .circuit import Circuit
    from .in_place import When

_PRIMARY = re.compile(r"\bprimary\b", re.I)
_WOUND = ("T", "L")
"""What names of wound parts begin with: ``T1: mains transformer, 34 ohm primary`` is the winding and not before it."""
_OTHER_PRIMARY = re.compile(r"\boutput\b|\bspeaker\b|\bI\.?F\.?T?\b", re.I)


@dataclass(frozen=True, slots=True)
class PrimaryDrop:
    """``parts`` of ``ohms`` carry ``amps`` RMS of the line's current and leave ``volts`` RMS of it."""

    parts: tuple[str, ...]
    ohms: float
    amps: float
    volts: float


def primary_drop(circuit: Circuit, name: str, line_volts: float | None) -> PrimaryDrop | None:
    """What reaches the transformer in a list of readings; None where nothing lies before it, or no current is known."""
    if not circuit.mains.wound or not line_volts or line_volts <= 0:
        return None
    measured = measured_runs(circuit.record.readings)
    if name not in measured:
        return None
    found = _in_place(circuit, when_read(name, measured[name]), newest=name == [*measured][-1])
    amps = _amps(circuit, line_volts) if found else None
    if not amps:
        return None
    ohms = sum(found.values())
    left = line_volts - amps * ohms
    return PrimaryDrop(tuple(found), ohms, amps, left) if left > line_volts / 2 else None


def _in_place(circuit: Circuit, when: When, *, newest: bool) -> dict[str, float]:
    """The ohms of each that was in; of one that nobody says the day of only for the ``newest`` list."""
    found = {}
    for one in circuit.components:
        said = f"{one.piece.job} {one.piece.note}"
        there = in_place(one, when)
        if there.remark == UNTOLD and not newest:
            continue
        wound = one.name.upper().startswith(_WOUND)
        if (
            there.kind == "resistor"
            and there.value
            and not wound
            and _PRIMARY.search(said)
            and not _OTHER_PRIMARY.search(said)
        ):
            found[one.name] = there.value
    return found


def _amps(circuit: Circuit, line_volts: float) -> float | None:
    """The line's current: as read of the whole set near that line, else by the watts read of it or on its plate."""
    rectifiers = tuple(p for p, tube in circuit.tubes.items() if "rectifier" in (tube.role or ""))
    for volts, amps, why_not in read_amps(circuit.record, rectifiers):
        if not why_not and abs(volts / line_volts - 1) <= NEAR_LINE:
            return amps
    plate = nameplate_of(circuit.record, "power")
    watts = line_watts(circuit.record, plate) or plate
    return watts / line_volts if watts else None
