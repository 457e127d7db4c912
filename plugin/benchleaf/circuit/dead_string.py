"""A dropper, or a section of one, that is open: nothing flows in the string behind it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.progress import FINISHED
from ..record.sections.reading_lists import is_as_found, measured_runs
from .in_place import in_place

if TYPE_CHECKING:
    from .circuit import Circuit

DROPS = re.compile(r"\b(?:dropper|dropping|ballast|line cord|mains resistor)\b", re.I)
"""The job of a part that drops the line's voltage for a string."""


@dataclass(frozen=True, slots=True)
class OpenDropper:
    """``name`` is ``dropper`` or a part's; ``section`` which of its sections, empty where it is whole or not said."""

    name: str
    section: str = ""


def open_dropper(circuit: Circuit) -> OpenDropper | None:
    """The dropper of a series string that was measured open and has not been replaced; None where there is none.

    That of ``heaters``, unless the parts list has new what was open of it, or the set was finished and read with its
    tubes lit; else a part whose job is to drop the line's voltage.
    """
    heaters = circuit.record.heaters
    written = heaters.dropper if heaters else None
    was_open = written and written.now is None and written.measured and written.measured.qualifier == "open"
    if written and was_open and not _is_new(circuit) and not _has_run_since(circuit):
        return OpenDropper("dropper", str(written.open_section or ""))
    if not (circuit.mains.heaters_in_string or (heaters and heaters.order)):
        return None
    for name, components in circuit.parts.items():
        for one in components:
            if DROPS.search(one.piece.job) and in_place(one, "now").condition == "open":
                return OpenDropper(str(name), one.name if len(components) > 1 else "")
    return None


def _is_new(circuit: Circuit) -> bool:
    """Whether the parts list has something new where a part that drops the line's voltage was open."""
    return any(
        DROPS.search(one.piece.job)
        and in_place(one, "before").condition == "open"
        and in_place(one, "now").condition != "open"
        for components in circuit.parts.values()
        for one in components
    )


def _has_run_since(circuit: Circuit) -> bool:
    """Whether the newest list of a finished set has a tube whose cathode stands above B-: no cold one is there."""
    record = circuit.record
    own = list(measured_runs(record.readings))
    if record.state != FINISHED or not own or is_as_found(own[-1]):
        return False
    return any(place.electrode == "cathode" and volts > 0 for place, volts in circuit.direct_volts[own[-1]].items())
