"""How the verdict would read under each standard, and how sure each standard's figure is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ...electrics.limits import LIMITS, TouchLimit, amps_over
from .states import TouchState

_UNDER, _AS_WRITTEN, _OVER, _NO_LIMIT = "under", "under as written only", "over", "no limit given"


@dataclass(frozen=True, slots=True)
class LimitVerdict:
    """One standard's limit and what it says: ``under``, ``under as written only`` (over in the worst case), ``over``,
    ``short circuit`` or ``no limit given``.

    ``limit_amps`` is of the kind ``kind`` (``peak``, ``rms`` or ``dc``). ``chosen`` marks the site's own choice.
    """

    name: str
    standard: str
    limit_amps: float | None
    kind: str
    before: str | None
    after: str | None
    one_fault: str | None
    confidence: str
    source: str
    note: str
    chosen: bool


def verdicts_of(
    chosen: TouchLimit,
    direct: bool,
    before: Iterable[TouchState],
    after: Iterable[TouchState],
    faults: Iterable[TouchState],
) -> tuple[LimitVerdict, ...]:
    """Every standard's reading of the normal states before and after, and of the single faults of the present state."""
    old, new, one_fault = tuple(before), tuple(after), tuple(faults)
    known = LIMITS if chosen.name in LIMITS else {**LIMITS, chosen.name: chosen}
    return tuple(
        LimitVerdict(
            limit.name,
            limit.standard,
            limit.dc_amps if direct else limit.amps,
            "dc" if direct else limit.kind,
            _word(old, direct, limit),
            _word(new, direct, limit),
            _word(one_fault, direct, limit),
            limit.confidence,
            limit.source,
            limit.note,
            limit.name == chosen.name,
        )
        for limit in known.values()
    )


def _word(states: tuple[TouchState, ...], direct: bool, limit: TouchLimit) -> str | None:
    """The worst word any of the states earns; None where there is no state."""
    if not states:
        return None
    if direct and limit.dc_amps is None:
        return _NO_LIMIT
    if any(s.short_circuit and s.over_limit for s in states):
        return "short circuit"
    known = [s for s in states if s.touch_amps_rms is not None and s.touch_amps_peak is not None]
    if any(amps_over(s.touch_amps_rms or 0.0, s.touch_amps_peak or 0.0, direct, limit) for s in known):
        return _OVER
    beyond = any(amps_over(s.worst_case_amps_rms or 0.0, s.worst_case_amps_peak or 0.0, direct, limit) for s in known)
    return _AS_WRITTEN if beyond else _UNDER
