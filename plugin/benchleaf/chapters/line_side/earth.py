"""An earth wire to the chassis: what it is, or would be, in the wiring as written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .described import DescribedState

if TYPE_CHECKING:
    pass


MAY_BE_FITTED = "may be fitted"
FITTED = "fitted"
MUST_NOT_BE_FITTED = "must not be fitted"
ONE_FAULT_FROM_A_SHORT = "fitted, one fault from a short circuit"
SHORT_CIRCUIT = "fitted, a short circuit"


def earth_of(described: DescribedState) -> str:
    """What an earth wire to the chassis is, or would be, in this wiring."""
    wiring = described.wiring
    if wiring.double_wound:
        return FITTED if wiring.earthed else MAY_BE_FITTED
    if not wiring.earthed:
        return MUST_NOT_BE_FITTED
    return SHORT_CIRCUIT if wiring.live_chassis else ONE_FAULT_FROM_A_SHORT
