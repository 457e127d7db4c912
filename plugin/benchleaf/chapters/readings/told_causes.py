"""The causes of each run's readings in words: ranked, with what each explains, and what to measure next."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...record.place_words import B_PLUS
from .cause_leads import brief, lead
from .explained import explained, makes_part_of, told_by
from .fault_words import said_of, source_of, words_of
from .kept_tubes import stayed
from .ranked_causes import LIKELY, MOST_CAUSES, POSSIBLE, SAID, NextMeasurement, RankedCause, RunCauses
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
    found: list[tuple[RunCauses, TriedRun]] = []
    for n, run in enumerate(runs):
        one = tried_run(run, expected, bench, runs[n + 1 :])
        if isinstance(one, TooLarge):
            return (RunCauses(run.name, (), False, (), lead=TOO_LARGE),)
        if one:
            told = replace(causes_of(one, bench), in_order=run.name in in_order)
            found.append((replace(told, no_single_fault=told.no_single_fault and not told.in_order), one))
    newest = found[-1][0].run if found else ""
    settled = (
        replace(told, settled=_settled_by(told, found[n + 1 :], bench), replaced=_replaced(told, one, bench))
        for n, (told, one) in enumerate(found)
    )
    return tuple(replace(one, lead=lead(one, newest), brief=brief(one), flag=FLAG) for one in settled)


def _settled_by(one: RunCauses, later: Sequence[tuple[RunCauses, TriedRun]], bench: Bench) -> str:
    """The later list that needs no fault, or is in order where the suspect showed itself; empty where there is none."""
    if one.sound or one.in_order or not one.accused:
        return ""
    shown = set(one.suspect.explains) if one.suspect else set()
    for after, tried in later:
        read = {tried.trial.probes[n].place.name(bench.words) for n in tried.read}
        if after.sound or (after.in_order and shown & read):
            return after.run
    return ""


def _replaced(one: RunCauses, tried: TriedRun, bench: Bench) -> bool:
    """Whether the suspect is not what stands in its place now."""
    subject = one.suspect.subject if one.suspect else None
    if subject is None:
        return False
    if subject in map(str, bench.record.tubes):
        changed = {str(position): change for position, change in bench.record.changed_tubes.items()}
        return subject in changed and not stayed(subject, tried.run.when, bench)
    listed = [element.listed for element in bench.circuit.network.elements if element.name == subject]
    return any(in_place(entry, tried.run.when).which != in_place(entry, "now").which for entry in listed)


def causes_of(one: TriedRun, bench: Bench) -> RunCauses:
    """What a tried run comes to, in the words of the dialect."""
    ranked = _ranked(one, bench)
    whole = ranked[0].explains and not ranked[0].leaves if ranked else False
    return RunCauses(
        one.run.name,
        ranked,
        one.ranking.flagged and not whole,
        tuple(_next(one, bench)),
        len(one.read),
        _apart(one, bench),
        _covered(one, bench),
        makes_part=tuple(
            (said_of(fault, bench.words, new=_is_new(fault.subject, one, bench)), places)
            for fault, places in makes_part_of(one, bench.words)
            if not ranked or fault.subject != ranked[0].subject
        ),
    )


def _ranked(one: TriedRun, bench: Bench) -> tuple[RankedCause, ...]:
    """The causes as ranked, but before them all that a meter has found bad where the part leads to an odd reading.

    Such a one is likely at the least: what was measured is evidence, and no guess. So is one that several found bad
    need to explain a reading, wherever it was taken. One that a cathode speaks against keeps its place and its word.
    """
    bad = {subject: fault for subject, fault in one.ranking.faults.items() if fault.measured}
    found = {subject: told_by(fault, one) for subject, fault in bad.items()}
    evidence = sorted((subject for subject, off in found.items() if off), key=lambda subject: -found[subject])
    needed = (at for at, fault in bad.items() if not found[at] and fault.with_others)
    held = {at: explained(bad[at], one, bench.words) for at in (*evidence, *needed)}
    evidence = [at for at, what in held.items() if what.explains and not what.against]
    subjects = dict.fromkeys((*evidence, *one.ranking.subjects))
    causes = (_cause(subject, one, bench) for subject in list(subjects)[:MOST_CAUSES])
    return tuple(
        replace(cause, said=min(cause.said, LIKELY, key=SAID.index)) if cause.subject in evidence else cause
        for cause in causes
    )


def _cause(subject: str, one: TriedRun, bench: Bench) -> RankedCause:
    fault, said = one.ranking.faults[subject], one.ranking.said(subject)
    if not subject:
        return RankedCause(None, fault.fault, said)
    new = _is_new(subject, one, bench)
    held = explained(fault, one, bench.words)
    if len(held.leaves) > len(held.explains):
        said = SAID[min(SAID.index(said) + 1, len(SAID) - 1)]
    if held.against:
        said = max(said, POSSIBLE, key=SAID.index)
    return RankedCause(
        subject,
        fault.fault,
        said,
        one.ranking.alike(subject),
        held.explains,
        held.leaves,
        said_of(fault, bench.words, new=new),
        words_of(fault, bench.words, new=new)[1],
        _tubes(fault, bench),
        source_of(fault),
        held.by_others,
        fault.with_others,
        held.against,
    )


def _is_new(subject: str, one: TriedRun, bench: Bench) -> bool:
    """Whether a part is one that was fitted in the work, when the readings were taken."""
    listed = (element.listed for element in bench.circuit.network.elements if element.name == subject)
    return any(in_place(entry, one.run.when).which == "now" for entry in listed)


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
