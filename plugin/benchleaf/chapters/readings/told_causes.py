"""The causes of each run's readings in words: ranked, with what each explains, and what to measure next."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...electrics.dc_elements import BOTTOM
from ...record.place_words import B_PLUS
from .cause_leads import brief, lead
from .fault_words import said_of, source_of, words_of
from .ranked_causes import LIKELY, MOST_CAUSES, SAID, NextMeasurement, RankedCause, RunCauses
from .ranking import next_measurements
from .tried_runs import TooLarge, TriedRun, tried_run

if TYPE_CHECKING:
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ...circuit.supposed_faults.supposed_fault import SupposedFault
    from ..bench import Bench
    from .runs import Readings

FLAG = (
    "No single fault explains these readings: two faults, a misread place, or a part that the list does not name. "
    "A hint: parts and meters are spread as assumed, no better."
)

TOO_LARGE = (
    "No faults were tried: the set has more points and faults than are worked out here in a moment. "
    "What is suggested below follows from the readings alone."
)

MOST_RUNS = 8
"""Lists of readings that are tried."""

OFF_FROM = 2.0
"""A reading is other than foretold from so many standard deviations on."""

LEFT_OVER = 1 / 3
"""A fault explains a reading, too, that it brings so near to what it foretells."""


def run_causes(
    measured: Sequence[Readings],
    expected: Sequence[Readings],
    bench: Bench,
    in_order: Collection[str] = (),
) -> tuple[RunCauses, ...]:
    """The causes of every run in which faults can be tried; what a later run finds in order is settled.

    ``in_order`` names the runs in which no part is suspected, as all that is held to a value is within its band.

    Of many runs the first and the newest are tried.
    """
    runs = measured if len(measured) <= MOST_RUNS else (measured[0], *measured[1 - MOST_RUNS :])
    found = []
    for n, run in enumerate(runs):
        one = tried_run(run, expected, bench, runs[n + 1 :])
        if isinstance(one, TooLarge):
            return (RunCauses(run.name, (), False, (), lead=TOO_LARGE),)
        found += [causes_of(one, bench)] if one else []
    settled = (
        replace(one, settled=_settled_by(one, found[n + 1 :]), in_order=one.run in in_order)
        for n, one in enumerate(found)
    )
    newest = found[-1].run if found else ""
    return tuple(replace(one, lead=lead(one, newest), brief=brief(one), flag=FLAG) for one in settled)


def _settled_by(one: RunCauses, later: Sequence[RunCauses]) -> str:
    if one.sound or not one.accused:
        return ""
    return next((after.run for after in later if after.sound), "")


def causes_of(one: TriedRun, bench: Bench) -> RunCauses:
    """What a tried run comes to, in the words of the dialect."""
    return RunCauses(
        one.run.name,
        _ranked(one, bench),
        one.ranking.flagged,
        tuple(_next(one, bench)),
        len(one.read),
        _apart(one, bench),
        _covered(one, bench),
    )


def _ranked(one: TriedRun, bench: Bench) -> tuple[RankedCause, ...]:
    """The causes as ranked, but before them all that a meter has found bad where the part leads to an odd reading.

    Such a one is likely at the least: what was measured is evidence, and no guess. So is one that several found bad
    need to explain a reading, wherever it was taken.
    """
    bad = {subject: fault for subject, fault in one.ranking.faults.items() if fault.measured}
    found = {subject: _told_by(fault, one) for subject, fault in bad.items()}
    evidence = sorted((subject for subject, off in found.items() if off), key=lambda subject: -found[subject])
    evidence += [
        at for at, fault in bad.items() if not found[at] and fault.with_others and _explained(fault, one, bench)[0]
    ]
    subjects = dict.fromkeys((*evidence, *one.ranking.subjects))
    causes = (_cause(subject, one, bench) for subject in list(subjects)[:MOST_CAUSES])
    return tuple(
        replace(cause, said=min(cause.said, LIKELY, key=SAID.index)) if cause.subject in evidence else cause
        for cause in causes
    )


def _told_by(fault: SupposedFault, one: TriedRun) -> float:
    """How far off, in standard deviations, the oddest reading at a fault's own ends is that it foretells as read."""
    row, own = one.trial.faults.index(fault), fault.site.nodes - {BOTTOM}
    at_its_ends = [(n, volts) for n, volts in one.read.items() if one.trial.probes[n].node in own]
    off = {n: abs(one.trial.off(0, n, volts)) for n, volts in at_its_ends}
    told = (off[n] for n, volts in at_its_ends if off[n] >= OFF_FROM and _is_near(one, row, n, volts, off[n]))
    return max(told, default=0.0)


def _is_near(one: TriedRun, row: int, probe: int, volts: float, sound: float) -> bool:
    """Whether a fault foretells a reading that is ``sound`` deviations off what is foretold with nothing wrong."""
    return abs(one.trial.off(row, probe, volts)) < max(OFF_FROM, sound * LEFT_OVER)


def _cause(subject: str, one: TriedRun, bench: Bench) -> RankedCause:
    fault, said = one.ranking.faults[subject], one.ranking.said(subject)
    if not subject:
        return RankedCause(None, fault.fault, said)
    new = _is_new(subject, one, bench)
    explains, leaves, by_others = _explained(fault, one, bench)
    if len(leaves) > len(explains):
        said = SAID[min(SAID.index(said) + 1, len(SAID) - 1)]
    return RankedCause(
        subject,
        fault.fault,
        said,
        one.ranking.alike(subject),
        explains,
        leaves,
        said_of(fault, bench.words, new=new),
        words_of(fault, bench.words, new=new)[1],
        _tubes(fault, bench),
        source_of(fault),
        tuple((part, tuple(places)) for part, places in by_others.items()),
        fault.with_others,
    )


def _is_new(subject: str, one: TriedRun, bench: Bench) -> bool:
    """Whether a part is one that was fitted in the work, when the readings were taken."""
    listed = (element.listed for element in bench.circuit.network.elements if element.name == subject)
    return any(in_place(entry, one.run.when).which == "now" for entry in listed)


def _explained(
    fault: SupposedFault, one: TriedRun, bench: Bench
) -> tuple[tuple[str, ...], tuple[str, ...], dict[str, list[str]]]:
    """The places that read other than with nothing wrong: those that the fault foretells as read, and the others.

    Every fault is tried with the parts that a meter has found bad as they were measured. A place that one of them
    alone foretells as read is that part's, and no work of the fault.
    """
    trial = one.trial
    row = trial.faults.index(fault)
    found_off = [n for n, other in enumerate(trial.faults) if other.measured and not other.with_others]
    explains: list[str] = []
    leaves: list[str] = []
    by_others: dict[str, list[str]] = {}
    for n, volts in one.read.items():
        sound, place = abs(trial.off(0, n, volts)), trial.probes[n].place.name(bench.words)
        if sound < OFF_FROM:
            continue
        if not _is_near(one, row, n, volts, sound):
            leaves.append(place)
            continue
        without = {trial.faults[other].subject for other in found_off if _is_near(one, other, n, volts, sound)}
        if without and fault.subject not in without:
            by_others.setdefault(" and ".join(sorted(without)), []).append(place)
        else:
            explains.append(place)
    return tuple(explains), tuple(leaves), by_others


def _tubes(fault: SupposedFault, bench: Bench) -> tuple[str, ...]:
    """The positions that a fault lies at: the tube itself, or those whose electrodes a part leads to."""
    if fault.site.where in ("tube", "rectifier"):
        return (fault.subject,)
    network = bench.circuit.network
    ends = (end for element in network.elements if element.name == fault.subject for end in element.ends)
    return tuple(dict.fromkeys(end.tube for end in ends if end.tube))


def _covered(one: TriedRun, bench: Bench) -> tuple[str, ...]:
    """The tubes all of whose electrodes are worked out, the rectifier, and the rails that are.

    A converter is not covered: no fault of its oscillator is tried.
    """
    closed = one.closed

    def is_tried(at: Place) -> bool:
        return closed.is_given(at) or closed.node(at) in one.freed

    apart = {own.stage.tube for own in closed.stages if own.converter}
    whole = (own.stage.tube for own in closed.stages if all(map(is_tried, _electrodes(own.stage))))
    rails = (place.name(bench.words) for place in closed.nodes if place.kind == B_PLUS and is_tried(place))
    rectifiers = (fault.subject for fault in one.trial.faults if fault.site.where == "rectifier")
    return tuple(sorted({*whole, *rails, *rectifiers} - apart))


def _electrodes(stage: Stage) -> tuple[Place, ...]:
    return (*stage.plates, *stage.screens, *((stage.cathode,) if stage.cathode else ()))


def _next(one: TriedRun, bench: Bench) -> Iterator[NextMeasurement]:
    for subject, how, place in next_measurements(one.trial, one.ranking, one.read):
        if place is not None:
            name = place.name(bench.words)
            yield NextMeasurement(name, how, f"read {name}")
        else:
            new = _is_new(subject, one, bench)
            yield NextMeasurement(subject, how, words_of(one.ranking.faults[subject], bench.words, new=new)[1])


def _apart(one: TriedRun, bench: Bench) -> str:
    """What tells the first cause from those alike: the step of each, that of the first before the others."""
    first = next((subject for subject in one.ranking.subjects if subject), "")
    others = one.ranking.alike(first) if first else ()
    if not others:
        return ""
    steps = (
        words_of(one.ranking.faults[subject], bench.words, new=_is_new(subject, one, bench))[1]
        for subject in (first, *others)
    )
    return "; then ".join(_switched_off_once(steps, bench))


def _switched_off_once(steps: Iterable[str], bench: Bench) -> Iterator[str]:
    """Each step once, with the power switched off once."""
    off = f"power off and {bench.words.filter_capacitors} discharged: "
    before = False
    for step in dict.fromkeys(steps):
        yield step.removeprefix(off) if before else step
        before = before or step.startswith(off)
