"""What meters have found bad: each part by itself, all of them together, and the set with them in it.

A part that was measured bad was bad when the readings were taken. Whatever else is tried is tried beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from ...electrics.dc_elements import DcVariant
from ..capacitor_kinds import kind_of_capacitor
from ..elements import CAPACITOR, RESISTOR
from ..in_place import in_place
from .seen_by_meters import insulation, may_have_dried_out, old_was_off, resistor_off
from .supposed_fault import FaultSite, SupposedFault
from .trade_weights import BAD, sizes

if TYPE_CHECKING:
    from ...electrics.dc_elements import DcNet
    from ...electrics.reservoir import Charging
    from .tried_set import Tried

__all__ = ["LEAK_AT_WORK", "FoundBad", "as_found", "found_bad", "merged", "of_found_bad"]

LEAK_AT_WORK = (0.2, 0.5, 1.0, 2.0)
"""What a leak's measured ohms may be in the set: less as it is warmer there, more after the first minutes. Common
practice, no source."""

LEAK_SPREAD = 0.5
"""One deviation of a leak that was measured with the set off, as a share: see ``LEAK_AT_WORK``."""

_Any = TypeVar("_Any")


@dataclass(frozen=True, slots=True)
class FoundBad:
    """A part that a meter has found bad: ``marked`` makes it what it should be, ``states`` what it may have been.

    ``state`` is what it was taken to be in the set as found; None where the record does not say whether it was still
    in. ``sizes`` goes with the states; ``weight`` is that of them all; ``spread`` is one deviation of its ohms.
    """

    subject: str
    fault: str
    site: FaultSite
    weight: float
    states: tuple[DcVariant, ...]
    sizes: tuple[float, ...]
    marked: DcVariant
    state: DcVariant | None
    spread: float = 0.0


def found_bad(tried: Tried) -> tuple[FoundBad, ...]:
    """The parts that meters have found bad on a day, resistors first."""
    return (*_resistors(tried), *_capacitors(tried), *_reservoirs(tried))


def as_found(tried: Tried, bad: Sequence[FoundBad]) -> DcNet:
    """The network with every part as a meter has found it; faults are tried in it, one at a time."""
    change = merged("as found", (one.state for one in bad if one.state is not None))
    ohms, charging = dict(change.ohms), dict(change.charging)
    spread = {one.subject: one.spread for one in bad if one.spread}
    return replace(
        tried.net,
        branches=tuple(
            replace(one, ohms=ohms.get(one.name, one.ohms), deviation=spread.get(one.name, one.deviation))
            for one in tried.net.branches
        ),
        rectifiers=tuple(replace(one, charging=charging.get(one.name, one.charging)) for one in tried.net.rectifiers),
    )


def of_found_bad(bad: Sequence[FoundBad]) -> Iterator[SupposedFault]:
    """Each by itself, with the others as marked; where there are several, each with all the others as found, too."""
    for one in bad:
        others = [other.marked for other in bad if other is not one]
        for state, size in zip(one.states, one.sizes, strict=True):
            name = f"{one.subject} {one.fault} {size:g}"
            yield _fault(one, size, merged(name, (*others, state)))
    if len(bad) < 2:
        return
    levels = max(len(one.states) for one in bad)
    for level in range(levels):
        all_bad = merged(f"all found bad {level}", (_at(one.states, level) for one in bad))
        for one in bad:
            fault = _fault(one, _at(one.sizes, level), replace(all_bad, name=f"{all_bad.name} {one.subject}"))
            with_others = tuple(other.subject for other in bad if other is not one)
            yield replace(fault, weight=one.weight / levels, with_others=with_others)


def merged(name: str, changes: Iterable[DcVariant]) -> DcVariant:
    """Several changes as one; of two that change one thing the later counts."""
    ohms: dict[str, float] = {}
    charging: dict[str, Charging] = {}
    for change in changes:
        ohms |= dict(change.ohms)
        charging |= dict(change.charging)
    return DcVariant(name, ohms=tuple(ohms.items()), charging=tuple(charging.items()))


def _at(values: Sequence[_Any], level: int) -> _Any:
    return values[min(level, len(values) - 1)]


def _fault(one: FoundBad, size: float, variant: DcVariant) -> SupposedFault:
    weight, there = one.weight / len(one.states), one.state is not None
    return SupposedFault(one.subject, one.fault, weight, variant, one.site, size, measured=True, in_set=there)


def _of_ohms(name: str, ohms: float) -> DcVariant:
    return DcVariant(ohms=((name, ohms),))


def _weight(of: str, fault: str, at: str = "") -> float:
    return BAD * sum(one.weight for one in sizes(of, at) if one.fault == fault)


def _resistors(tried: Tried) -> Iterator[FoundBad]:
    """Resistors off; one that is in the set has its measured ohms there already, but for an open one."""
    ohms = {branch.name: branch.ohms for branch in tried.net.branches}
    opened = next(one.size for one in sizes("resistor") if one.fault == "open")
    for element, site in tried.elements(RESISTOR):
        name = element.name
        how, nominal = resistor_off(in_place(element.listed, tried.day))
        if how == "sound" or name not in ohms:
            continue
        old, found = old_was_off(element.listed, tried.day)
        if old and found:
            now, was = _of_ohms(name, ohms[name]), _of_ohms(name, found)
            yield FoundBad(name, old, site, _weight("resistor", old), (was,), (0.0,), now, None)
        elif not old and how and nominal:
            state = _of_ohms(name, nominal * opened if how == "open" else ohms[name])
            marked = _of_ohms(name, nominal)
            yield FoundBad(name, how, site, _weight("resistor", how), (state,), (0.0,), marked, state)


def _capacitors(tried: Tried) -> Iterator[FoundBad]:
    """Capacitors with a leak that was measured, and shorted ones."""
    tight = {branch.name: branch.ohms for branch in tried.net.branches}
    for element, site in tried.elements(CAPACITOR):
        inside, name = in_place(element.listed, tried.day), element.name
        if not inside.is_there or name not in tight:
            continue
        kind, at = kind_of_capacitor(inside), "grid" if site.where == "coupling" else site.where
        seen, leak = insulation(inside, kind)
        marked = _of_ohms(name, tight[name])
        if inside.condition == "shorted":
            short = next(one.size for one in sizes(kind, at) if one.fault == "shorted")
            state = _of_ohms(name, short)
            yield FoundBad(name, "shorted", site, _weight(kind, "shorted", at), (state,), (short,), marked, state)
        elif seen == "bad" and leak:
            ohms = tuple(leak * share for share in LEAK_AT_WORK)
            states = tuple(_of_ohms(name, one) for one in ohms)
            state = _of_ohms(name, leak)
            yield FoundBad(name, "leaks", site, _weight(kind, "leaks", at), states, ohms, marked, state, LEAK_SPREAD)


def _reservoirs(tried: Tried) -> Iterator[FoundBad]:
    """The first filter capacitor, where it was measured at less than half of what it should have."""
    for rectifier in tried.net.rectifiers:
        for element, site, inside in tried.reservoirs_of(rectifier):
            nominal = inside.nominal or inside.value
            if inside.how != "measured" or not inside.value or not nominal or not may_have_dried_out(inside):
                continue
            for charging in tried.dried(rectifier, [inside.value]):
                state = DcVariant(charging=((rectifier.name, charging),))
                marked = DcVariant(charging=((rectifier.name, rectifier.charging),))
                weight, size = _weight("reservoir", "dried out"), inside.value / nominal
                yield FoundBad(element.name, "dried out", site, weight, (state,), (size,), marked, state)
