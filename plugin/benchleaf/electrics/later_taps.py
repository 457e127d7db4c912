"""The capacitors behind the reservoir as the time domain asks for them: what never changes, worked out once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import count

from .rectifier import FilterTap

__all__ = ["LaterTap", "later_taps"]


@dataclass(frozen=True, slots=True)
class LaterTap:
    """A tap behind the reservoir: where its volts and its choke's amperes stand in the state, and what never changes.

    ``esr_volts`` is what its load drops over its ESR; ``through_ohms`` is its resistor with the ESR.
    """

    at: int
    choke: int | None
    farads: float
    esr_ohms: float
    load_amps: float
    series_ohms: float
    henries: float
    esr_volts: float
    through_ohms: float


def later_taps(taps: Sequence[FilterTap], extra: int) -> list[LaterTap]:
    """The taps behind the first; ``extra`` is how many capacitors the state has before that of the first."""
    chokes = count(extra + len(taps))
    return [
        LaterTap(
            extra + i,
            next(chokes) if tap.series_henries else None,
            tap.farads,
            tap.esr_ohms,
            tap.load_amps,
            tap.series_ohms,
            tap.series_henries,
            tap.esr_ohms * tap.load_amps,
            tap.series_ohms + tap.esr_ohms,
        )
        for i, tap in enumerate(taps[1:], 1)
    ]
