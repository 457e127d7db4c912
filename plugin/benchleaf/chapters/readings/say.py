"""The sentences about a set's voltages that stand at the top of its page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...report.amount import unitless
from ...report.sentence import Sentence
from ...report.verdict import Verdict
from ...words import Words
from .as_found_load import over_as_found
from .cause_leads import put_right
from .judging import HIGH, NOT_READ, OUTSIDE, POSITIVE_GRID, WITHIN
from .screen_volts import over_its_screen_volts

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import ReadingsFindings, RunFindings
    from .ranked_causes import RankedCause
    from .rows import ReadingRow
    from .suggestions import Suggestion

_PLAINLY_OFF = 0.5
"""From half the expected value on, a reading is called a fault by itself. Common practice, no source."""

TUBE_FAULTS = frozenset({"gas", "weak", "no emission", "grid up"})
"""Faults that lie in the tube itself, or that another tube in its socket tells from it."""

SaidPlace = tuple[str, str, str, str]


def standouts(findings: ReadingsFindings, bench: Bench) -> list[Sentence]:
    """What the readings say that deserves the top of the page, worst first; of each place, its last reading counts."""
    last = _last_rows(findings)
    told = [
        *_b_plus(findings, bench.words),
        *_tubes(findings, last, bench),
        *_outside(findings, bench),
        *(cured := tuple(_cured(findings, last, bench))),
        *_put_right(findings, cured),
        *_dissipation(findings, bench),
        *over_its_screen_volts(findings, bench),
        *_contradictions(findings, bench),
        *_of_kirchhoff(findings, bench.words),
    ]
    stopped = (*map(_stopped, told), *over_as_found(findings, bench))
    return sorted(stopped, key=lambda standout: -standout.severity)


def _stopped(sentence: Sentence) -> Sentence:
    return replace(sentence, said=f"{sentence.text}.")


def _last_rows(findings: ReadingsFindings) -> dict[SaidPlace, ReadingRow]:
    """Each place's last reading."""
    return {row.spot.identity: row for row in findings.rows if row.verdict != NOT_READ}


def _tubes(findings: ReadingsFindings, last: dict[SaidPlace, ReadingRow], bench: Bench) -> Iterator[Sentence]:
    """One sentence for each tube or rail that has a reading out of its band."""
    names = list(dict.fromkeys(row.tube for row in last.values()))
    for name in names:
        off = [row for row in last.values() if row.tube == name and _counts(row, findings)]
        if off:
            said, then = _sentence(name, off, findings, bench), _next(off, findings)
            yield Sentence(_severity(off), said, _anchor(off, findings), settled_by=then)


def _counts(row: ReadingRow, findings: ReadingsFindings) -> bool:
    """Whether a reading is off by itself: not where B+ itself is off and the reading is in proportion to it."""
    if row.verdict not in OUTSIDE:
        return False
    run = _run(row, findings)
    if run.b_plus and run.b_plus_verdict in OUTSIDE:
        return not run.b_plus.is_at(row.spot) and row.normalised_verdict != WITHIN
    return True


def _severity(off: Sequence[ReadingRow]) -> Verdict:
    return Verdict.FAULT if any(map(_is_plain, off)) else Verdict.WATCH


def _is_plain(row: ReadingRow) -> bool:
    """Whether a reading is a fault by itself: not where a meter may account for some of it."""
    if row.verdict == POSITIVE_GRID:
        return True
    if row.meter is not None or row.loading_unknown is not None:
        return False
    return row.deviation is None or abs(row.deviation) >= _PLAINLY_OFF


def _sentence(name: str, off: Sequence[ReadingRow], findings: ReadingsFindings, bench: Bench) -> str:
    grids = [row for row in off if row.verdict == POSITIVE_GRID]
    told = [_off(row) for row in off if row not in grids]
    told += [
        f"{'its ' if told else ''}{row.spot.said} at {_volts(row)}, where it should never be positive" for row in grids
    ]
    run = (grids or off)[0].run
    suspect = _suspect(name, run, findings, bench)
    return f"{name} {' and '.join([', '.join(told[:-1]), told[-1]] if told[:-1] else told)} ({run}){suspect}"


def _next(off: Sequence[ReadingRow], findings: ReadingsFindings) -> str:
    """The measurement that the likeliest cause of these readings asks for."""
    tube, run = off[-1].tube, off[-1].run
    asked = (s.next for s in _ruled(tube, run, findings) if not s.settled)
    cause = _tried(tube, run, findings)
    return next(asked, cause.then if cause else "")


def _ruled(tube: str, run: str, findings: ReadingsFindings) -> Iterator[Suggestion]:
    """What the rules say of a tube in a run, where no fault was tried."""
    return (s for s in findings.suggestions if (s.tube, s.run) == (tube, run) and not s.tried)


def _off(row: ReadingRow) -> str:
    """``cathode 26 % high``; in volts where there is no ratio to say."""
    name = "" if row.electrode == "rail" else f"{row.spot.said} "
    if row.deviation is not None and row.deviation > -1:
        meter = ", which the meter may account for" if row.meter else ""
        return f"{name}{abs(round(row.deviation * 100))}\u202f% {row.verdict}{meter}"
    expected = f" instead of {_say(row.adjusted_volts)}" if row.adjusted_volts is not None else ""
    return f"{name}at {_volts(row)}{expected}"


def _suspect(name: str, run: str, findings: ReadingsFindings, bench: Bench) -> str:
    """What the readings point to, where the record names a part of it."""
    for suggestion in _ruled(name, run, findings):
        if not suggestion.settled:
            suspects = _suspects(suggestion, bench)
            return f": suspect {suspects}" if suspects else ""
    cause = _tried(name, run, findings)
    return f": suspect {_subjects(cause)}" if cause else ""


def _tried(tube: str, run: str, findings: ReadingsFindings) -> RankedCause | None:
    """The cause at a tube that trying all faults comes to; None where that does not say."""
    causes = findings.causes_of(run)
    return causes.about(tube) if causes else None


def _subjects(cause: RankedCause) -> str:
    return " or ".join((cause.subject or "", *cause.alike))


def _suspects(suggestion: Suggestion, bench: Bench) -> str:
    """The parts that a suggestion names, and the tube or that there is more where it leaves that open."""
    if not suggestion.parts:
        return ""
    unnamed = {alike.fault for alike in suggestion.alike if not alike.part}
    if not suggestion.part:
        unnamed.add(suggestion.fault)
    tube = [f"the {bench.words.tube}"] if unnamed & TUBE_FAULTS else []
    others = ["what else is told below"] if unnamed - TUBE_FAULTS else []
    return " or ".join([*suggestion.parts, *tube, *others])


def _outside(findings: ReadingsFindings, bench: Bench) -> Iterator[Sentence]:
    """Readings without a published value that lie outside what the set's own circuit makes likely."""
    run = findings.latest
    if run is None or findings.circuit is None:
        return
    for one in findings.circuit.outside:
        likely = f"{unitless(one.low_volts, 'V')} to {_say(one.high_volts)}"
        text = (
            f"{one.at.name(bench.words)} reads {_say(one.read_volts)} where the set’s own circuit makes {likely} "
            f"({run.name})"
        )
        yield Sentence(Verdict.WATCH, text, "voltages-worked-out")


def _cured(findings: ReadingsFindings, last: dict[SaidPlace, ReadingRow], bench: Bench) -> Iterator[Sentence]:
    """A control grid that was positive in an earlier run and is not any more."""
    for row in findings.rows:
        later = last.get(row.spot.identity, row)
        if row.verdict == POSITIVE_GRID and later.verdict != POSITIVE_GRID:
            ruled, tried = _ruled(row.tube, row.run, findings), _tried(row.tube, row.run, findings)
            suspect = next((_suspects(s, bench) for s in ruled), _subjects(tried) if tried else "")
            cause = f" (suspect then: {suspect})" if suspect else ""
            then = f"{row.tube} {row.spot.said} was at {_volts(row)} ({row.run}){cause}"
            yield Sentence(
                Verdict.PUT_RIGHT, f"{then}; it reads {_volts(later)} ({later.run})", _run(row, findings).anchor
            )


def _put_right(findings: ReadingsFindings, cured: Sequence[Sentence]) -> Iterator[Sentence]:
    """The likely cause of an earlier list that was put right, where no grid that came right tells of it."""
    for one in findings.causes:
        if one.suspect and (said := put_right(one)):
            then = f"(suspect then: {_subjects(one.suspect)})"
            if not any(then in sentence.text for sentence in cured):
                yield Sentence(Verdict.PUT_RIGHT, said, "voltages-causes")


def _b_plus(findings: ReadingsFindings, words: Words) -> Iterator[Sentence]:
    """B+ itself being off, with what hangs on it."""
    run = findings.latest
    if run is None or run.b_plus is None or run.b_plus_verdict not in OUTSIDE:
        return
    row = next(r for r in findings.rows if r.run == run.name and run.b_plus.is_at(r.spot))
    with_it = sum(r.verdict in OUTSIDE and r.normalised_verdict == WITHIN for r in findings.rows if r.run == run.name)
    others = with_it - (row.normalised_verdict == WITHIN)
    hanging = f", and {others} other readings with it" if others > 1 else ""
    severity = Verdict.FAULT if row.deviation is None or abs(row.deviation) >= _PLAINLY_OFF else Verdict.WATCH
    yield Sentence(
        severity, f"{words.b_plus} ({run.b_plus.place}) is {_off_b_plus(row)}{hanging} ({run.name})", run.anchor
    )


def _off_b_plus(row: ReadingRow) -> str:
    size = abs(round((row.deviation or 0) * 100))
    return f"{size}\u202f% {'high' if row.verdict == HIGH else 'low'}"


def _dissipation(findings: ReadingsFindings, bench: Bench) -> Iterator[Sentence]:
    for name, point in findings.operating.items():
        if point.plate_over:
            doubted = ", by a current that the cathode does not bear out" if point.disagrees else ""
            text = (
                f"{name} {bench.words.plate} turns {_watts(point.plate_watts)} into heat{doubted}; "
                f"its rating is {_watts(point.max_plate_watts)} ({point.run})"
            )
            yield Sentence(Verdict.WATCH if doubted else Verdict.FAULT, text, "voltages-operating")
        if point.screen_over:
            text = (
                f"{name} {bench.words.screen} turns {_watts(point.screen_watts)} into heat; "
                f"its rating is {_watts(point.max_screen_watts)} ({point.run})"
            )
            yield Sentence(Verdict.FAULT, text, "voltages-operating")


def _contradictions(findings: ReadingsFindings, bench: Bench) -> Iterator[Sentence]:
    told = {(one.place, one.run) for run in findings.runs for one in run.contradictions}
    for name, point in findings.operating.items():
        if point.disagrees and point.sum_over_cathode is not None and (name, point.run) not in told:
            percent = abs(round((point.sum_over_cathode - 1) * 100))
            way = "more" if point.sum_over_cathode > 1 else "less"
            taking = f" and {bench.words.screen} take" if point.screen_amps is not None else " takes"
            text = (
                f"{name}: {bench.words.plate}{taking} {percent}\u202f% {way} current than its cathode gives, so a "
                f"reading or a resistor is wrong ({point.run})"
            )
            yield Sentence(Verdict.WATCH, text, "voltages-operating")
        elif backwards := [lack for lack in point.lacks if "contradict" in lack]:
            yield Sentence(Verdict.WATCH, f"{name}: {backwards[0]} ({point.run})", "voltages-operating")


def _of_kirchhoff(findings: ReadingsFindings, words: Words) -> Iterator[Sentence]:
    """Readings of the last run that contradict each other, with the one that would explain it."""
    run = findings.latest
    for one in run.contradictions if run else ():
        would = one.alone[0] if one.alone else None
        alone = f"; {would.what} at {_in(would.needed, would.unit)} would explain it" if would else ""
        text = f"{one.place}: cathode and supply side disagree by {_in(one.off_amps, 'A')}{alone} ({one.run})"
        yield Sentence(Verdict.WATCH, text, "voltages-agree")
    for two in run.apart if run else ():
        percent = abs(round(two.ratio * 100))
        text = (
            f"{two.place} reads {_say(two.volts)} and {two.other} {_say(two.other_volts)}, {percent}\u202f% apart, "
            f"and they are one point ({two.run})"
        )
        yield Sentence(Verdict.WATCH, text, "voltages-agree")
    if run and run.past_return:
        yield Sentence(Verdict.WATCH, f"{run.past_return.said(words.b_minus)} ({run.name})", "voltages-agree")
    for branch in run.tree if run else ():
        if branch.contradicts and run:
            text = f"{branch.via} carries less than what is read behind {branch.name} takes ({run.name})"
            yield Sentence(Verdict.WATCH, text, "voltages-supply")


def _in(value: float, unit: str) -> str:
    from ...record.units import say

    return say(value, unit, digits=2)


def _run(row: ReadingRow, findings: ReadingsFindings) -> RunFindings:
    return next(run for run in findings.runs if run.name == row.run)


def _anchor(rows: Sequence[ReadingRow], findings: ReadingsFindings) -> str:
    return _run(rows[-1], findings).anchor


def _volts(row: ReadingRow) -> str:
    """A reading with its sign, or as it was written where it is no plain number."""
    if row.measured_volts is None or row.measured_qualifier not in ("exact", "approx", "tolerance"):
        return row.measured_written
    sign = "+" if row.measured_volts > 0 and row.spot.is_control_grid else ""
    return f"{sign}{_say(row.measured_volts)}"


def _say(volts: float | None) -> str:
    from ...record.units import say

    return say(volts, "V")


def _watts(watts: float | None) -> str:
    from ...record.units import say

    return say(watts, "W")
