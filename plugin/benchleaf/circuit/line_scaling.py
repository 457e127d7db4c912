"""The line a list of readings holds for, and what the mains selector made of it: what volts of two lists go by.

A winding tapped for S volts passes on the line's share of S, so that 230 V on a setting of 240 V are 96 % of what the
set was wound for (the turns ratio of an ideal transformer). A series string's setting only adds ohms, so it goes by the
line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.sections.reading_lists import is_as_found
from .primary_resistor import primary_drop

if TYPE_CHECKING:
    from ..record.sections.readings import Run
    from .circuit import Circuit

_VOLTS = re.compile(
    r"(?<![\d.])(?P<low>\d{2,3})(?:\s?V)?(?:\s?(?:[-–/]|to)\s?(?P<high>\d{2,3}))?(?![\d.]|\s*(?:k?c/s|k?Hz|m?A\b|W\b))"
)
_FOUND = re.compile(r"\b(?:found|was|before|came|had been|stood)\b[^,;]*|\bfrom\s+\d{2,3}\s?V?(?=\s+to\b)", re.I)
_LEAST, _MOST = 24.0, 260.0


@dataclass(frozen=True, slots=True)
class SelectedAt:
    """Where the selector stood for a list, in volts; ``of_list`` where the list says so, else where it is now."""

    volts: float
    of_list: bool


_NOTED = re.compile(r"\bselector\s+(?:was\s+|set\s+|stood\s+)?(?:on|at|to)\s+(?:the\s+)?(?P<volts>\d{2,3})\b", re.I)
"""Where the note of a list says that the selector stood: ``no station, selector on 127``."""


def volts_of(at: SelectedAt | None) -> float | None:
    """The volts of a setting; None of none."""
    return at.volts if at else None


def selector_volts(written: str | None) -> float | None:
    """The volts that a selector is said to stand on, ``on 125 V``; None where no voltage of a line is named.

    Of a range, ``200-220 V``, it is the middle. Of ``found on 220 V, on 240 V`` it is where it stands.
    """
    if not written:
        return None
    now = _FOUND.sub("", str(written))
    found = _VOLTS.search(now) or _VOLTS.search(str(written))
    if found is None:
        return None
    low = float(found["low"])
    high = float(found["high"] or low)
    volts = (low + high) / 2 if high >= low else low
    return volts if _LEAST <= volts <= _MOST else None


def line_of(circuit: Circuit, name: str) -> float | None:
    """The volts of the line that a list of readings names; None where it names none."""
    run = _list(circuit, name)
    return run.line.si if run is not None and run.line and run.line.si and run.line.si > 0 else None


def selected_at(circuit: Circuit, name: str, *, published: bool = False) -> SelectedAt | None:
    """Where the selector stood for a list; None where nobody says, and for a set that the selector does not scale.

    A ``published`` list without a word of it was taken on the setting that its line is meant for.
    """
    if not circuit.mains.wound:
        return None
    run = _list(circuit, name)
    if run is not None and (own := selector_volts(run.mains_selector)):
        return SelectedAt(own, of_list=True)
    if run is not None and (noted := _NOTED.search(run.note or "")) and (own := selector_volts(f"{noted['volts']} V")):
        return SelectedAt(own, of_list=True)
    if is_as_found(name) and (found := _found_on(circuit)):
        return SelectedAt(found, of_list=True)
    if published:
        return None
    volts = _stands_on(circuit)
    return SelectedAt(volts, of_list=False) if volts else None


def line_factor(
    source_line: float,
    source_selector: float | None,
    run_line: float,
    run_selector: float | None,
    nominal: float | None,
) -> float:
    """What volts of a source are multiplied by for those of another list: the lines' ratio, each by its selector.

    Lines and selectors in volts RMS. Where only one selector is known, a source stood on the setting of its own line, a
    list on that of the ``nominal`` one.
    """
    if source_selector is None and run_selector is None:
        return run_line / source_line
    share = source_line / source_selector if source_selector else 1.0
    return run_line / (run_selector or nominal or run_line) / share


def share_at_primary(circuit: Circuit, name: str) -> float:
    """What of a list's line a resistor before the transformer's primary leaves for it; 1 where none is in."""
    volts = circuit.mains.volts
    line = line_of(circuit, name) or (volts.nominal if volts else None)
    found = primary_drop(circuit, name, line)
    return found.volts / line if found and line else 1.0


def as_it_stands(circuit: Circuit, name: str, line_volts: float, *, published: bool = False) -> float:
    """The line that would give the volts of a list with the selector where it stands now, in volts RMS.

    ``line_volts`` are those of the list, of which a resistor before the primary leaves less. They are returned as they
    are where nothing is known of the selector, nor of such a resistor. Where the selector stands now is taken as the
    nominal line's setting if only a list names one.
    """
    now, at = _stands_on(circuit), selected_at(circuit, name, published=published)
    base = now or (circuit.mains.volts.nominal if circuit.mains.volts else None)
    if base is None:
        return line_volts
    line_volts *= share_at_primary(circuit, name)
    if at is not None:
        return line_volts * base / at.volts
    return base if published and _selector_known(circuit, now) else line_volts


def _selector_known(circuit: Circuit, now: float | None) -> bool:
    """Whether the record says for any list, or of now, where the selector of a transformer stands."""
    own = (selector_volts(run.mains_selector) for run in circuit.record.readings.values())
    return circuit.mains.wound and (now is not None or any(own))


def _stands_on(circuit: Circuit) -> float | None:
    heaters = circuit.record.heaters
    return selector_volts(heaters.mains_selector) if heaters else None


def _found_on(circuit: Circuit) -> float | None:
    """Where the selector stood when the set came in, ``found on 220 V``; None where nobody says."""
    heaters = circuit.record.heaters
    found = _FOUND.search(heaters.mains_selector) if heaters and heaters.mains_selector else None
    return selector_volts(found[0]) if found else None


def _list(circuit: Circuit, name: str) -> Run | None:
    return next((run for at, run in circuit.record.readings.items() if str(at) == name), None)
