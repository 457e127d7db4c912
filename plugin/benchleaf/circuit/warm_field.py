"""The speaker's field coil at work: its copper is warm, and has more ohms than the meter showed of it cold."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..electrics.copper import TWENTY_CELSIUS, copper_at
from ..record.quantities import QuantityError, read_quantity
from .in_place import When, in_place
from .said_temperatures import ROOM, temperatures_in

if TYPE_CHECKING:
    from ..record.model import Record
    from .in_place import InPlace
    from .listed import Listed

ROOM_KELVINS = TWENTY_CELSIUS
"""Where a coil was measured cold of which no temperature is written: 20 °C, which IEC 60028 starts from."""
MOST_WARMER = 1.6
"""Warm ohms that are more than so many times the cold ones are of something else: 150 K. Common practice, no source."""
_FIELD = re.compile(r"\bfield\b", re.I)
_WARM_OHMS = re.compile(
    r"(?P<before>(?:warm|hot),?\s+)?(?P<ohms>\d[\d.,]*\s?(?:k|kohms?|ohms?|Ω|kΩ))(?P<after>,?\s*(?:note\s+)?(?:warm|hot)\b)?",
    re.I,
)


@dataclass(frozen=True, slots=True)
class WarmField:
    """The ohms of a field coil at work, by a meter (``measured``) or by two temperatures in kelvins."""

    ohms: float
    cold_ohms: float
    measured: bool
    cold_kelvins: float = ROOM_KELVINS
    warm_kelvins: float | None = None


def warm_field(record: Record, cold_ohms: float | None) -> WarmField | None:
    """What the record says of a field coil at work that has ``cold_ohms`` cold; None where it says nothing.

    Warm ohms that were measured go before a temperature that was read of it in a soak test.
    """
    if not cold_ohms or cold_ohms <= 0:
        return None
    note = str(record.speaker.note or "") if record.speaker else ""
    measured = _measured_warm(note)
    if measured and cold_ohms <= measured <= cold_ohms * MOST_WARMER:
        return WarmField(measured, cold_ohms, measured=True)
    warm, room = _in_the_soak(record)
    if warm is None:
        return None
    noted = (kelvins for of, kelvins in temperatures_in(f"{note}") if of.casefold() in ("at", "measured at", "cold at"))
    cold = next(noted, room or ROOM_KELVINS)
    try:
        ohms = copper_at(cold_ohms, cold, warm)
    except ValueError:
        return None
    return WarmField(ohms, cold_ohms, measured=False, cold_kelvins=cold, warm_kelvins=warm) if warm > cold else None


def with_fields_at_work(record: Record, parts: Mapping[str, tuple[Listed, ...]]) -> Mapping[str, tuple[Listed, ...]]:
    """The components of the parts list, each field coil with what it has at work over what it has cold."""
    return {name: tuple(_warmed(record, one) for one in of_part) for name, of_part in parts.items()}


def _warmed(record: Record, one: Listed) -> Listed:
    there = in_place(one, "now") if _FIELD.search(one.piece.job) else None
    warm = warm_field(record, there.value) if there and there.unit == "ohm" else None
    return replace(one, times_at_work=warm.ohms / warm.cold_ohms) if warm else one


def at_work(entry: Listed, when: When) -> InPlace:
    """The component in a place at a time as it is while the set plays: a field coil warm, anything else as it is."""
    there = in_place(entry, when)
    if entry.times_at_work == 1.0 or there.unit != "ohm" or not there.value:
        return there
    ohms = there.value * entry.times_at_work
    return replace(there, value=ohms, low=ohms, high=ohms)


def _measured_warm(note: str) -> float | None:
    for found in _WARM_OHMS.finditer(note):
        if found["before"] or found["after"]:
            try:
                return read_quantity(found["ohms"].replace(",", "."), "resistance").si
            except QuantityError:
                continue
    return None


def _in_the_soak(record: Record) -> tuple[float | None, float | None]:
    """The field coil's and the room's temperature in the last soak test that has the field's."""
    for session in reversed(record.power_up):
        soak = session.soak
        read = list(temperatures_in(f"{soak.read or ''}; {soak.note or ''}")) if soak else []
        warm = next((kelvins for of, kelvins in read if _FIELD.search(of)), None)
        if warm is not None:
            return warm, next((kelvins for of, kelvins in read if ROOM.search(of)), None)
    return None, None
