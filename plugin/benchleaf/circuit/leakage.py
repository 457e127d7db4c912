"""What a written leakage comes to in ohms, and what kind of bound a reading is."""

from __future__ import annotations

import math

from ..electrics.impedance import leakage_resistance
from ..record.quantities import Quantity
from ..record.sections.leaked import Leakage

_BOUND = {"exact": "exact", "approx": "exact", "tolerance": "exact", "lt": "at most", "le": "at most", "gt": "at least"}
_OTHER_WAY = {"at most": "at least", "at least": "at most", "exact": "exact"}


def bound_of(quantity: Quantity) -> str:
    """``exact``, ``at most`` or ``at least``."""
    return _BOUND.get(quantity.qualifier, "at least" if quantity.qualifier == "ge" else "")


def leakage_ohms(leakage: Leakage | None) -> tuple[float | None, str]:
    """Leakage resistance in ohm and what kind of bound it is: less than a current is more than a resistance."""
    if leakage is None:
        return None, ""
    if leakage.ohms is not None and leakage.ohms.si is not None:
        return leakage.ohms.si, bound_of(leakage.ohms)
    if leakage.current is None or leakage.current.si is None or leakage.at is None or leakage.at.si is None:
        return None, ""
    ohms = leakage_resistance(abs(leakage.at.si), abs(leakage.current.si))
    if not math.isfinite(ohms):
        return None, ""
    bound = _OTHER_WAY.get(bound_of(leakage.current), "")
    return (ohms, bound) if bound else (None, "")


def leakage_typed(leakage: Leakage | None) -> str:
    """The leakage as the writer has it."""
    if leakage is None:
        return ""
    amount = leakage.current or leakage.ohms
    at = f" at {leakage.at.written}" if leakage.at else ""
    return f"{amount.written if amount else ''}{at}".strip()
