"""What meters have found of parts and tubes: one that is sound loses its faults, one that is not has more of them."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from ...electrics.colours import UNMARKED_TOLERANCE
from ..in_place import UNTOLD, AsFound, InPlace, When, in_place

if TYPE_CHECKING:
    from ...record.model import Record
    from ..listed import Listed

__all__ = [
    "emission_on",
    "insulation",
    "may_have_dried_out",
    "old_was_off",
    "resistor_off",
]

TIGHT_OHMS = {"paper": 1e9, "film": 1e9, "electrolytic": 2e5}
"""Capacitors measured at this much or more move nothing: 0.1 V on a grid leak of half a megohm at 200 V; of an
electrolytic 1 mA at 200 V. Common practice, no source."""

_SEEN_BAD, _SEEN_SOUND, _UNSEEN = "bad", "sound", ""


def insulation(inside: InPlace, kind: str) -> tuple[str, float | None]:
    """``bad``, ``sound`` or empty, and the ohms that were measured where they are a leak."""
    if inside.insulates(TIGHT_OHMS[kind]):
        return _SEEN_SOUND, None
    if inside.leakage_ohms is None or inside.leakage_bound == "at least":
        return _UNSEEN, None
    return _SEEN_BAD, inside.leakage_ohms


def resistor_off(inside: InPlace) -> tuple[str, float | None]:
    """``high``, ``low``, ``open``, ``sound`` or empty where it was not measured; its nominal ohms."""
    nominal = inside.nominal
    if inside.condition == "open":
        return "open", nominal
    if inside.how != "measured" or not nominal or inside.value is None:
        return _UNSEEN, nominal
    off = inside.value / nominal - 1
    low, high = (inside.tolerance.low, inside.tolerance.high) if inside.tolerance else (0.0, 0.0)
    if min(low, -UNMARKED_TOLERANCE) <= off <= max(high, UNMARKED_TOLERANCE):
        return _SEEN_SOUND, nominal
    return ("high" if off > 0 else "low"), nominal


def may_have_dried_out(inside: InPlace) -> bool:
    """Whether a capacitor may have lost its capacitance: not one that was measured at half of it or more."""
    nominal = inside.nominal or inside.value
    return bool(nominal) and not (inside.how == "measured" and (inside.value or 0.0) > (nominal or 0.0) / 2)


def old_was_off(listed: Listed, when: When) -> tuple[str, float | None]:
    """How the old resistor was measured, and its ohms, where the record does not say whether the new one was in.

    One that was measured is neither open nor anything else than it was; nothing is said of one that was not measured.
    """
    if in_place(listed, when).remark != UNTOLD:
        return "", None
    old = in_place(listed, "before")
    how, _ = resistor_off(old)
    return ("", None) if how == _UNSEEN else (how, old.value if how in ("high", "low") else None)


def emission_on(record: Record, position: str, when: When) -> float | None:
    """The emission that a tube tester has shown of the tube that stood at a position at a time, as a ratio.

    None where nothing is written, or where it is not known which tube it was.
    """
    changed = next((change for name, change in record.changed_tubes.items() if str(name) == position), None)
    if changed is None or when is None:
        return None
    if isinstance(when, AsFound):
        new = bool(when.day and changed.date and changed.date < when.day)
    elif changed.date is None or not isinstance(when, datetime.date):
        return None
    else:
        new = when >= changed.date
    tested = changed.now if new else changed.was
    return tested.emission.si if tested and tested.emission else None
