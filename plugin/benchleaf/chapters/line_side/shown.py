"""Which of the many states a page shows: the normal ones, and each single fault at its worst plug and switch."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .single_faults import NONE
from .state_rows import Position, in_boxes
from .states import BetweenState, TouchState, worst

_SAME_AMPS, _SAME_VOLTS, _SAME_SHARE = 1e-6, 0.5, 1e-3
"""Differences of the touch current and of the volts up to these are none on a page."""


@dataclass(frozen=True, slots=True)
class ConditionRow:
    """One condition, before and after: of a normal one ``plugs`` and ``switches`` are set, ``faults`` name the others.

    Several stand in one row where they come to the same: faults, or each of the plugs with each of the switches. The
    states are the worst of the listed parts; None where the condition cannot occur.
    """

    plugs: tuple[str, ...]
    switches: tuple[str, ...]
    faults: tuple[str, ...]
    before: TouchState | None
    after: TouchState | None


def rows_of(before: Iterable[TouchState], after: Iterable[TouchState]) -> tuple[ConditionRow, ...]:
    """The normal rows, then one row for each fault that is worse than the normal state it belongs to."""
    sides = (_listed(before), _listed(after))
    positions = dict.fromkeys((s.plug, s.switch) for side in sides for s in side)
    alike: list[tuple[list[Position], tuple[TouchState | None, ...]]] = []
    for position in positions:
        pair = tuple(worst(_at(side, *position)) for side in sides)
        held = next((held for held, other in alike if all(map(_come_to_one, pair, other))), None)
        held.append(position) if held is not None else alike.append(([position], pair))
    normal = [ConditionRow(*box, (), *pair) for held, pair in alike for box in in_boxes(held)]
    rows: list[ConditionRow] = []
    for name in dict.fromkeys(s.fault for side in sides for s in side if s.fault != NONE):
        if not any(_worse_than_normal(side, name) for side in sides):
            continue
        _put(rows, ConditionRow((), (), (name,), *(_at_its_worst(side, name) for side in sides)))
    return (*normal, *sorted(rows, key=_by_gravity))


def no_worse(before: Iterable[TouchState], after: Iterable[TouchState]) -> tuple[str, ...]:
    """The faults that were computed and change nothing for the worse."""
    sides = (_listed(before), _listed(after))
    names = dict.fromkeys(s.fault for side in sides for s in side if s.fault != NONE)
    return tuple(name for name in names if not any(_worse_than_normal(side, name) for side in sides))


def _listed(states: Iterable[TouchState]) -> tuple[TouchState, ...]:
    return tuple(s for s in states if s.listed)


def _at(side: Iterable[TouchState], plug: str, switch: str) -> list[TouchState]:
    return [s for s in side if s.fault == NONE and (s.plug, s.switch) == (plug, switch)]


def _worse_than_normal(side: tuple[TouchState, ...], name: str) -> list[TouchState]:
    """The states with a fault in which it makes things worse than in the same position without it."""
    normal = {(s.plug, s.switch, s.part): s for s in side if s.fault == NONE}
    return [s for s in side if s.fault == name and _is_worse(s, normal.get((s.plug, s.switch, s.part)))]


def _is_worse(state: TouchState, normal: TouchState | None) -> bool:
    if normal is None or state.short_circuit:
        return normal is None or not normal.short_circuit
    return (state.touch_amps_rms or 0.0) > (normal.touch_amps_rms or 0.0) * (1 + _SAME_SHARE) + _SAME_AMPS


def _at_its_worst(side: tuple[TouchState, ...], name: str) -> TouchState | None:
    """A fault at its worst plug, switch and part, of those where it matters if it matters anywhere."""
    return worst(_worse_than_normal(side, name) or [s for s in side if s.fault == name])


def _put(rows: list[ConditionRow], row: ConditionRow) -> None:
    """Add a row, or its fault to a row that comes to the same."""
    for index, other in enumerate(rows):
        if _alike(row.before, other.before) and _alike(row.after, other.after):
            rows[index] = ConditionRow((), (), (*other.faults, *row.faults), other.before, other.after)
            return
    rows.append(row)


def _alike(one: TouchState | None, other: TouchState | None) -> bool:
    if one is None or other is None:
        return one is other
    return (one.plug, one.switch) == (other.plug, other.switch) and _come_to_one(one, other)


def _come_to_one(one: TouchState | None, other: TouchState | None) -> bool:
    """Whether a page says the same of two states, but for plug, switch and fault."""
    if one is None or other is None:
        return one is other
    return (
        one.part == other.part
        and one.short_circuit == other.short_circuit
        and (one.no_load_volts is None) == (other.no_load_volts is None)
        and abs((one.no_load_volts or 0.0) - (other.no_load_volts or 0.0)) < _SAME_VOLTS
        and abs((one.touch_amps_rms or 0.0) - (other.touch_amps_rms or 0.0)) < _SAME_AMPS
    )


def _by_gravity(row: ConditionRow) -> tuple[float, float]:
    """The gravest after the work first, then the gravest before."""

    def amps(state: TouchState | None) -> float:
        return 0.0 if state is None else 1e3 if state.short_circuit else state.touch_amps_rms or 0.0

    return -amps(row.after), -amps(row.before)


@dataclass(frozen=True, slots=True)
class Hands:
    """Two parts from hand to hand at their worst: with nothing wrong, and with one fault."""

    normal: BetweenState
    fault: BetweenState | None


def hands_of(between: Iterable[BetweenState]) -> tuple[Hands, ...]:
    """One row for every two parts."""
    pairs: dict[tuple[str, str], list[BetweenState]] = {}
    for state in between:
        pairs.setdefault((state.part, state.other), []).append(state)
    rows = []
    for states in pairs.values():
        normal = [s for s in states if s.fault == NONE]
        faults = [s for s in states if s.fault != NONE]
        if normal:
            rows.append(Hands(max(normal, key=_hand_amps), max(faults, key=_hand_amps, default=None)))
    return tuple(rows)


def _hand_amps(state: BetweenState) -> float:
    return state.touch_amps_rms or 0.0
