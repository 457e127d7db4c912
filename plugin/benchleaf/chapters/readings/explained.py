"""What a fault that was tried explains of the readings, what it leaves, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...electrics.dc_elements import BOTTOM

if TYPE_CHECKING:
    from ...circuit.supposed_faults.supposed_fault import SupposedFault
    from ...words import Words
    from .tried_runs import TriedRun

__all__ = ["Explained", "explained", "makes_part_of", "told_by"]

OFF_FROM = 2.0
"""A reading is other than foretold from so many standard deviations on."""

LEFT_OVER = 1 / 3
"""A fault explains a reading, too, that it brings so near to what it foretells."""

GOOD_PART, SOME_PART = 0.25, 0.1
"""A fault explains no reading that it does not move by a good part of the way from what stands there without it to
what was read; what a meter has found bad and moves it by some part of that way makes a part of it. No source: picked on
sets whose bad parts are known; leaks and worn rectifiers moved a quarter of the way or more, what had no hand in it
less than a tenth."""

AGAINST_OFF, AGAINST_MOVED = 1.5, 0.3
"""A cathode so many standard deviations off what a fault of its tube's stage foretells, and so many more than without
it, speaks against the fault: it moves the current the other way. No source."""


@dataclass(frozen=True, slots=True)
class Explained:
    """Of the places that read other than with nothing wrong, those that a fault foretells as read, those that it does
    not, and by the part those that go with others found bad by a meter; the cathodes that speak ``against`` it."""

    explains: tuple[str, ...]
    leaves: tuple[str, ...]
    by_others: tuple[tuple[str, tuple[str, ...]], ...]
    against: tuple[str, ...]


def explained(fault: SupposedFault, one: TriedRun, words: Words) -> Explained:
    """What a fault explains by itself.

    Every fault is tried with the parts that a meter has found bad as they were measured. A place that one of them
    alone foretells as read is that part's, and so is one that all of them do: it is no work of the fault.
    """
    trial, row, base = one.trial, one.trial.faults.index(fault), _without(fault, one)
    single = [row for row in _found_bad(one) if not trial.faults[row].with_others]
    explains, leaves = [], []
    by_others: dict[str, list[str]] = {}
    for n, volts in one.read.items():
        place = trial.probes[n].place.name(words)
        if abs(trial.off(0, n, volts)) < OFF_FROM:
            continue
        if not _is_near(one, row, n, volts):
            leaves.append(place)
            continue
        others = {trial.faults[other].subject for other in single if _makes(one, other, 0, n, volts)}
        if not others and base and _makes(one, base, 0, n, volts):
            others = {trial.faults[base].subject, *trial.faults[base].with_others}
        if others and fault.subject not in others:
            by_others.setdefault(" and ".join(sorted(others)), []).append(place)
        elif _moved(one, row, base, n, volts) >= GOOD_PART:
            explains.append(place)
        else:
            leaves.append(place)
    goes_with = tuple((part, tuple(places)) for part, places in by_others.items())
    return Explained(tuple(explains), tuple(leaves), goes_with, tuple(_against(fault, one, words)))


def told_by(fault: SupposedFault, one: TriedRun) -> float:
    """How far off, in standard deviations, the oddest reading at a fault's own ends is that it foretells as read."""
    row, own = one.trial.faults.index(fault), fault.site.nodes - {BOTTOM}
    at_its_ends = [(n, volts) for n, volts in one.read.items() if one.trial.probes[n].node in own]
    off = {n: abs(one.trial.off(0, n, volts)) for n, volts in at_its_ends}
    told = (off[n] for n, volts in at_its_ends if off[n] >= OFF_FROM and _makes(one, row, 0, n, volts))
    return max(told, default=0.0)


def makes_part_of(one: TriedRun, words: Words) -> Iterator[tuple[SupposedFault, tuple[str, ...]]]:
    """Each part that a meter has found bad, with the odd readings of which it makes a part and no more."""
    odd = [(n, volts) for n, volts in one.read.items() if abs(one.trial.off(0, n, volts)) >= OFF_FROM]
    for row in _found_bad(one):
        fault = one.trial.faults[row]
        if fault.with_others or not fault.in_set:
            continue
        parts = (n for n, volts in odd if SOME_PART <= _moved(one, row, 0, n, volts) < GOOD_PART)
        if places := tuple(one.trial.probes[n].place.name(words) for n in parts):
            yield fault, places


def _found_bad(one: TriedRun) -> tuple[int, ...]:
    """Of each part that a meter has found bad, by itself and with the others, the row that the readings speak for."""
    rows: dict[tuple[str, bool], list[int]] = {}
    for row, fault in enumerate(one.trial.faults):
        if fault.measured and fault.site.where not in ("tube", "rectifier"):
            rows.setdefault((fault.subject, bool(fault.with_others)), []).append(row)
    return tuple(max(of_part, key=lambda row: float(one.ranking.weight[row])) for of_part in rows.values())


def _without(fault: SupposedFault, one: TriedRun) -> int:
    """The row of the set without a fault: as it should be, or of one that no meter has found, with what meters have."""
    if fault.measured or not fault.subject:
        return 0
    found = [row for row in _found_bad(one) if one.trial.faults[row].in_set]
    together = [n for n in found if one.trial.faults[n].with_others] or found
    return max(together, key=lambda row: float(one.ranking.weight[row]), default=0)


def _makes(one: TriedRun, row: int, base: int, probe: int, volts: float) -> bool:
    """Whether a fault foretells a reading, and it is the fault that does."""
    return _is_near(one, row, probe, volts) and _moved(one, row, base, probe, volts) >= GOOD_PART


def _is_near(one: TriedRun, row: int, probe: int, volts: float) -> bool:
    """Whether a fault foretells a reading that is off what is foretold with nothing wrong."""
    sound = abs(one.trial.off(0, probe, volts))
    return abs(one.trial.off(row, probe, volts)) < max(OFF_FROM, sound * LEFT_OVER)


def _moved(one: TriedRun, row: int, base: int, probe: int, volts: float) -> float:
    """How far a fault moves a place from what stands there without it towards what was read, as a share of the way."""
    means = one.trial.foretold.means
    way = volts - float(means[base, probe])
    return float(means[row, probe] - means[base, probe]) / way if way else 0.0


def _against(fault: SupposedFault, one: TriedRun, words: Words) -> Iterator[str]:
    """The cathodes of a fault's own stage that it moves the other way than they were read."""
    row, base = one.trial.faults.index(fault), _without(fault, one)
    stage = fault.site.at.tube if fault.site.at is not None else fault.subject
    for n, volts in one.read.items():
        place = one.trial.probes[n].place
        if place.tube != stage or place.kind != "cathode":
            continue
        with_it, without = abs(one.trial.off(row, n, volts)), abs(one.trial.off(base, n, volts))
        away = _moved(one, row, base, n, volts) < 0
        if away and with_it >= AGAINST_OFF and with_it - without >= AGAINST_MOVED:
            yield place.name(words)
