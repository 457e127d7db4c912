"""What one more change, or a pair, would gain, computed by trying it: the wiring altered, every state solved again."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice, product
from typing import TYPE_CHECKING

from ...electrics.limits import TouchLimit, over_limit
from ...electrics.nodal_analysis import VoltageSource
from ...electrics.touch import Touch
from ...words import Words
from .alterations import COVER, OpenChange, open_changes
from .barriers import components_of
from .described import DescribedState
from .single_faults import NONE
from .states import Solved, faults_by_name, networks_of, worst_touch
from .topology import EARTH, HOT, PLUG_WAYS, Wiring
from .wording import fault_words, milliamps
from .worst_case import worst_cases

if TYPE_CHECKING:
    from .line_and_load import LineSource

_NOTHING = "nothing"
_Reached = Touch | str | None
"""A touch, None for a short circuit, or ``_NOTHING``."""

MOST_CHANGES = 6
_SAME_SHARE = 0.005
_SHORTED = "capacitor shorted"


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst through a hand in one respect, amperes of the limit's kind.

    ``amps`` is None where the line is shorted (``over_limit`` true) or where there is no such state (false).
    ``worst_case_over_limit`` is for high line and parts at the end of their tolerance.
    """

    amps: float | None = None
    over_limit: bool | None = False
    worst_case_over_limit: bool | None = False


@dataclass(frozen=True, slots=True)
class Reach:
    """The worst with nothing wrong and with one fault, in any position and while switched off."""

    normal: Worst
    normal_off: Worst
    fault: Worst
    fault_off: Worst


@dataclass(frozen=True, slots=True)
class TriedChange:
    """A change that was tried: what it is, what can be reached then, and the gain in words."""

    what: str
    reach: Reach
    gain: str


_RESPECTS = (
    ("nothing wrong", "normal"),
    ("nothing wrong, switched off", "normal_off"),
    ("one fault", "fault"),
    ("one fault, switched off", "fault_off"),
)


def reach_of(wirings: Sequence[Wiring], line: LineSource, limit: TouchLimit, solved: Solved) -> Reach:
    """The worst of the listed parts in each respect, as written, and whether that is over the limit in the worst case
    too."""
    as_written = _found(wirings, solved)
    at_worst = _found(worst_cases(wirings, line.high_volts), solved)
    return Reach(*(_as_worst(one, other, limit) for one, other in zip(as_written, at_worst, strict=True)))


def _found(wirings: Sequence[Wiring], solved: Solved) -> tuple[_Reached, _Reached, _Reached, _Reached]:
    """The worst touch in each respect.

    No network of resistors and capacitors drives more through a hand than the line itself, so that once a fault does as
    much in a position of the switch, the others need not be solved.
    """
    nodes = list(dict.fromkeys(p.node for p in wirings[0].parts if p.listed))
    most = _most_amps(wirings[0], solved)
    bounded = not any(_has_inductor(wiring) for wiring in wirings)
    found: dict[tuple[bool, str], Touch | str | None] = {}
    by_name = sorted(faults_by_name(wirings).items(), key=lambda named: "chafed" not in named[0])
    for fault, wirings_with in by_name:
        for switch in ("on", "off"):
            for plug in PLUG_WAYS:
                key = (fault == NONE, switch)
                if bounded and fault != NONE and _reaches(found.get(key, _NOTHING), most):
                    continue
                networks = [solved.network(n) for n in networks_of(wirings_with, plug, switch)]
                for node in nodes if networks else ():
                    touch = worst_touch([solved.touch(n, node) for n in networks])
                    found[key] = _graver(found.get(key, _NOTHING), touch)
    both = {
        none: _graver(found.get((none, "on"), _NOTHING), found.get((none, "off"), _NOTHING)) for none in (True, False)
    }
    return both[True], found.get((True, "off"), _NOTHING), both[False], found.get((False, "off"), _NOTHING)


def _most_amps(wiring: Wiring, solved: Solved) -> float:
    """Amperes through a hand straight on the line."""
    alone = solved.touch(solved.network((VoltageSource(HOT, EARTH, wiring.volts),)), HOT)
    return alone.amps_rms if alone else 0.0


def _has_inductor(wiring: Wiring) -> bool:
    barriers = (wiring.b_minus, wiring.across, wiring.hot_to_chassis, wiring.return_to_chassis, wiring.earth)
    return any(p.kind == "inductor" for b in (*barriers, *(q.barrier for q in wiring.parts)) for p in components_of(b))


def _reaches(found: _Reached, most: float) -> bool:
    return isinstance(found, Touch) and found.amps_rms >= most * (1 - 1e-9)


def _graver(one: _Reached, other: _Reached) -> _Reached:
    """The one with more current; a short circuit outranks what passes none."""
    return max((one, other), key=_gravity)


def _gravity(found: _Reached) -> tuple[float, int]:
    if isinstance(found, Touch):
        return found.amps_rms, 1
    return 0.0, 2 if found is None else 0


def _as_worst(found: _Reached, at_worst: _Reached, limit: TouchLimit) -> Worst:
    if found is None:
        return Worst(None, True, True)
    if isinstance(found, str):
        return Worst()
    over = over_limit(at_worst, limit) if isinstance(at_worst, Touch) else at_worst is None
    return Worst(found.amps_peak if limit.kind == "peak" else found.amps_rms, over_limit(found, limit), over)


def changes_of(
    described: DescribedState, now: Reach, line: LineSource, limit: TouchLimit, words: Words, solved: Solved
) -> tuple[TriedChange, ...]:
    """The best pair of the changes that are still open, where two gain more than either, then each by itself.

    A cover is no part of a pair: it can be left off.
    """
    still_open = list(islice(open_changes(described, words), MOST_CHANGES))
    shorted = _over_when_shorted(described.wirings, limit, solved)

    def altered(*changes: OpenChange) -> list[Wiring]:
        return list(dict.fromkeys(_altered(wiring, changes) for wiring in described.wirings))

    def reached(*changes: OpenChange) -> Reach:
        return reach_of(altered(*changes), line, limit, solved)

    def told(changes: Sequence[OpenChange], then: Reach) -> TriedChange:
        cured = shorted - _over_when_shorted(altered(*changes), limit, solved) if shorted else frozenset()
        what = " and ".join(_lowered(change.what, number) for number, change in enumerate(changes))
        return TriedChange(what, then, gain_of(now, then, tuple(fault_words(name, words) for name in sorted(cured))))

    single = {change: reached(change) for change in still_open}
    pair = _best_pair(single, reached)
    first = (told(*pair),) if pair else ()
    return (*first, *(told((change,), then) for change, then in single.items()))


def _best_pair(
    single: Mapping[OpenChange, Reach], reached: Callable[[OpenChange, OpenChange], Reach]
) -> tuple[tuple[OpenChange, OpenChange], Reach] | None:
    """The two changes that leave least together, and what they leave; None where no two gain on one alone."""
    electric = [change for change in single if change.place != COVER]
    apart = [(one, other) for one, other in combinations(electric, 2) if one.place != other.place]
    pairs = [(pair, reached(*pair)) for pair in apart]
    better = [(pair, then) for pair, then in pairs if all(_gains_on(then, single[one]) for one in pair)]
    best = min(better, key=lambda found: _merit(found[1]), default=None)
    return best if best and all(_gains_on(best[1], single[one]) for one in electric) else None


def _altered(wiring: Wiring, changes: Sequence[OpenChange]) -> Wiring:
    for change in changes:
        wiring = change.alter(wiring)
    return wiring


def _lowered(what: str, number: int) -> str:
    return f"{what[0].lower()}{what[1:]}" if number else what


def _merit(reach: Reach) -> tuple[tuple[bool, bool, float], ...]:
    """By what changes are ordered, the better the less: with nothing wrong first, then with one fault.

    A fault that only shorts the line passes nothing through a hand.
    """
    return tuple(
        (False, False, 0.0)
        if of_fault and _shorts(one)
        else (bool(one.over_limit), bool(one.worst_case_over_limit), math.inf if _shorts(one) else one.amps or 0.0)
        for one, of_fault in (
            (reach.normal, False),
            (reach.fault, True),
            (reach.normal_off, False),
            (reach.fault_off, True),
        )
    )


def _shorts(worst: Worst) -> bool:
    return worst.amps is None and bool(worst.over_limit)


def _gains_on(one: Reach, other: Reach) -> bool:
    """Whether a change leaves less than another in the first respect in which they differ."""
    for (*over, amps), (*other_over, other_amps) in zip(_merit(one), _merit(other), strict=True):
        if over != other_over:
            return over < other_over
        if _differ(amps, other_amps):
            return amps < other_amps
    return False


def _over_when_shorted(wirings: Sequence[Wiring], limit: TouchLimit, solved: Solved) -> frozenset[str]:
    """The faults of a shorted capacitor that put a listed part over the limit."""
    nodes = list(dict.fromkeys(p.node for p in wirings[0].parts if p.listed))
    found = set()
    for fault, wirings_with in faults_by_name(wirings).items():
        if not fault.endswith(_SHORTED):
            continue
        for plug, switch in product(PLUG_WAYS, ("on", "off")):
            networks = [solved.network(n) for n in networks_of(wirings_with, plug, switch)]
            touches = [solved.touch(n, node) for n in networks for node in nodes]
            if any(touch is not None and over_limit(touch, limit) for touch in touches):
                found.add(fault)
                break
    return frozenset(found)


def gain_of(now: Reach, then: Reach, cured: tuple[str, ...] = ()) -> str:
    """What changed between two reaches, in words with figures; ``cured`` are faults that no longer matter."""
    said: dict[str, str] = {}
    for name, respect in _RESPECTS:
        old, new = getattr(now, respect), getattr(then, respect)
        if _differ(old.amps, new.amps):
            of_fault = respect.startswith("fault")
            change = f"{_said(old, of_fault)} → {_said(new, of_fault)}{_verdict(old, new, of_fault)}"
            if change not in said.values():
                said[name] = change
    sentences = [f"{name}: {change}" for name, change in said.items()]
    sentences += [f"no longer over the limit: {fault}" for fault in cured]
    return "; ".join(sentences) or "changes none of the worst figures"


def _differ(old: float | None, new: float | None) -> bool:
    if old is None or new is None:
        return old is not new
    return abs(old - new) > _SAME_SHARE * max(old, new)


def _said(worst: Worst, of_fault: bool) -> str:
    if _shorts(worst):
        return "nothing through a hand, at most a short circuit" if of_fault else "short circuit"
    if worst.amps is None:
        return "nothing within reach"
    return milliamps(worst.amps)


def _verdict(old: Worst, new: Worst, of_fault: bool) -> str:
    if of_fault and (_shorts(old) or _shorts(new)):
        return ", over the limit" if new.over_limit and not _shorts(new) else ""
    if new.over_limit is False and new.worst_case_over_limit:
        return ", then under the limit as written only"
    if (old.over_limit or old.worst_case_over_limit) and new.over_limit is False:
        return ", then under the limit"
    if new.over_limit and old.over_limit is False:
        return ", then over the limit"
    return ", still over" if new.over_limit else ""
