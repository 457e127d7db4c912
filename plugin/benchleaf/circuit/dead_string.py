"""A dropper, or a section of one, that is open: nothing flows in the string behind it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .in_place import in_place

if TYPE_CHECKING:
    from .circuit import Circuit

_DROPS = re.compile(r"\b(?:dropper|dropping|ballast|line cord|mains resistor)\b", re.I)


@dataclass(frozen=True, slots=True)
class OpenDropper:
    """``name`` is ``dropper`` or a part's; ``section`` which of its sections, empty where it is whole or not said."""

    name: str
    section: str = ""


def open_dropper(circuit: Circuit) -> OpenDropper | None:
    """The dropper of a series string that was measured open and has not been replaced; None where there is none.

    That of ``heaters``, else a part whose job is to drop the line's voltage.
    """
    heaters = circuit.record.heaters
    written = heaters.dropper if heaters else None
    if written and written.now is None and written.measured and written.measured.qualifier == "open":
        return OpenDropper("dropper", str(written.open_section or ""))
    if not (circuit.mains.heaters_in_string or (heaters and heaters.order)):
        return None
    for name, components in circuit.parts.items():
        for one in components:
            if _DROPS.search(one.piece.job) and in_place(one, "now").condition == "open":
                return OpenDropper(str(name), one.name if len(components) > 1 else "")
    return None
