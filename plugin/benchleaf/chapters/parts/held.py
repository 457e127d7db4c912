"""A component held against limits: what it leaks, its series resistance, the heat it must stand."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...electrics.capacitor_limits import ESR_TIMES_NEW, electrolytic_leakage_limit, esr_when_new, insulation_needed
from ...record.part_types import POLARISED_TYPES
from .supply_peak import latest_volts

if TYPE_CHECKING:
    from ...circuit.listed import Listed
    from ...circuit.pieces import Seen
    from ..bench import Bench
    from .judging import Ends

WATTS_OVER_HEAT = 2.0
"""A resistor is rated for at least twice the heat it makes (common practice, no source)."""

LIKE_THE_OLD = 0.5
"""How far a new resistor may be from the one before, as a ratio, to be judged by the heat that one made: within the
factor of two that a rating has to spare."""


@dataclass(frozen=True, slots=True)
class Held:
    """One capacitor against its limits; None where the record does not give what is needed.

    An electrolytic has a limit of current at its rated voltage, any other a least insulation.
    """

    leakage_limit_amps: float | None = None
    insulation_needed_ohms: float | None = None
    leakage_enough: bool | None = None
    esr_limit_ohms: float | None = None
    esr_enough: bool | None = None


@dataclass(frozen=True, slots=True)
class Heat:
    """A resistor's heat from the volts read at its ends in one run. ``enough``: rated for twice that."""

    watts: float
    volts: float
    read_in: str
    needed_watts: float
    rated_watts: float | None = None
    enough: bool | None = None
    assumed_rating: bool = field(default=False, metadata={"json": False})


def held(seen: Seen | None, ends: Ends | None) -> Held | None:
    """A capacitor's leakage and ESR against their limits; None where it has neither written."""
    if seen is None or seen.unit not in ("F", "") or not (seen.leakage_typed or seen.esr_ohms is not None):
        return None
    if seen.type.casefold() in POLARISED_TYPES:
        return _electrolytic(seen)
    if not seen.leakage_typed:
        return None
    grid = ends is not None and bool({e.kind for e in ends} & {"grid", "AVC", "diode"})
    needed = insulation_needed(at_a_grid=grid)
    return Held(insulation_needed_ohms=needed, leakage_enough=_at_least(seen.leakage_ohms, seen.leakage_bound, needed))


def _electrolytic(seen: Seen) -> Held:
    limit = electrolytic_leakage_limit(seen.value, seen.volts) if seen.value and seen.volts else None
    leaks = None
    if limit is not None and seen.leakage_amps is not None:
        leaks = (
            _at_least(1 / seen.leakage_amps, seen.leakage_bound or "exact", 1 / limit) if seen.leakage_amps else True
        )
    new = esr_when_new(seen.value, seen.volts) if seen.value and seen.volts else None
    esr_limit = new * ESR_TIMES_NEW if new is not None else None
    return Held(
        leakage_limit_amps=limit if seen.leakage_typed else None,
        leakage_enough=leaks,
        esr_limit_ohms=esr_limit if seen.esr_ohms is not None else None,
        esr_enough=seen.esr_ohms <= esr_limit if seen.esr_ohms is not None and esr_limit is not None else None,
    )


def _at_least(found: float | None, bound: str, needed: float) -> bool | None:
    """Whether a figure known exactly, or only as a bound, reaches what is needed."""
    if found is None:
        return None
    if bound == "at least":
        return True if found >= needed else None
    if bound == "at most":
        return False if found < needed else None
    return found >= needed


def heat(bench: Bench, listed: Listed, ends: Ends | None) -> Heat | None:
    """V²/R of a resistor from the latest run in which both its ends were read; B- and chassis are 0 V.

    R is that of the resistor that was in when the run was taken; the rating is that of the one which is in now. None
    where the two differ by more than ``LIKE_THE_OLD``: what the new one makes was not read.
    """
    inside = in_place(listed, "now")
    if ends is None or not inside.is_there or inside.kind != "resistor":
        return None
    if any(e.kind in ("line", "neutral", "socket", "AC") for e in ends):
        return None
    read = latest_volts(bench, ends)
    if read is None or all(e.is_common for e in ends):
        return None
    ohms = in_place(listed, bench.circuit.day_of(read[2])).value
    if not ohms or ohms < 0:
        return None
    if inside.value and abs(inside.value / ohms - 1) > LIKE_THE_OLD:
        return None
    volts = abs(read[0] - read[1])
    watts = volts * volts / ohms
    needed = WATTS_OVER_HEAT * watts
    rated = inside.seen.watts
    return Heat(watts, volts, read[2], needed, rated, None if rated is None else rated >= needed)
