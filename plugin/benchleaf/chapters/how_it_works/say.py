"""What it comes to: an opening for somebody who learns, and each stage in turn."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from ...record.figures import to_figures
from ...record.units import say
from ...report.amount import Amount, Origin
from ...report.sentence import Judged, Link, Phrase, PhrasePart, Sentence, aside, listed
from ...report.verdict import Verdict
from ...words.decimal_sign import with_decimal_sign
from .stage_words import has_text, oscillator, stage_text, title_of, tubes_of

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import HowItWorksFindings, StageFigures, StageInOrder, StageReading, StageTrouble

_OUTSIDE = {"low": "low", "high": "high", "positive grid": "positive"}


@dataclass(frozen=True, slots=True)
class StageSaid:
    """One stage as the page has it: ``facts`` are pairs of a word and what it stands for."""

    anchor: str
    title: str
    tubes: str
    texts: tuple[str, ...]
    facts: tuple[tuple[str, Phrase], ...]


@dataclass(frozen=True, slots=True)
class WorksSaid:
    """The page: its conclusion, the opening, where faults show, and the stages."""

    conclusion: Phrase
    opening: tuple[str, ...]
    where: Phrase
    stages: tuple[StageSaid, ...]


def standouts(findings: HowItWorksFindings, bench: Bench) -> list[Sentence]:
    """Nothing: what stands out in a stage is said by the chapter that found it."""
    return []


def said(findings: HowItWorksFindings, bench: Bench) -> WorksSaid:
    """The chapter's page."""
    return WorksSaid(
        conclusion(findings, bench),
        tuple(_opening(findings, bench)),
        _where(findings),
        tuple(_stage(stage, findings, bench) for stage in findings.stages()),
    )


def conclusion(findings: HowItWorksFindings, bench: Bench) -> Phrase:
    """What kind of set it is."""
    kind = stage_text(f"kind {findings.kind or 'untold'}", bench.words).text
    return (kind,)


def _opening(findings: HowItWorksFindings, bench: Bench) -> Iterator[str]:
    """What more there is to its kind, what feeds it, how to follow it, and that it stays closed."""
    words, power = bench.words, f"power {bench.circuit.mains.power}"
    more = (("kind reflex", findings.reflex), ("kind both", findings.both), (power, has_text(power)))
    told = " ".join(stage_text(key, words).text for key, is_so in more if is_so)
    if told:
        yield told
    yield stage_text("start", words).text
    of_power = f"closed {bench.circuit.mains.power}"
    yield stage_text(of_power if has_text(of_power) else "closed", words).text


def _where(findings: HowItWorksFindings) -> Phrase:
    """Where faults show, with the links there."""
    places: list[Phrase] = []
    if findings.has_voltages:
        places.append(("in the ", Link("voltages", "voltages")))
    if findings.has_faults:
        places.append(("in the ", Link("faults of this set", "faults")))
    if findings.has_line_side:
        places.append(("at the ", Link("line side", "line-side")))
    if not places:
        return ()
    elsewhere = findings.faults_elsewhere
    more = (
        f" {elsewhere} of its faults {'belongs' if elsewhere == 1 else 'belong'} to no one stage." if elsewhere else ""
    )
    return ("Where faults show: ", *listed(places, ", ", " and "), ".", more)


def _stage(stage: StageInOrder, findings: HowItWorksFindings, bench: Bench) -> StageSaid:
    words = bench.words
    title = stage.written if stage.job == "unknown job" and stage.written else title_of(stage, words)
    texts = (stage_text(stage.job, words).text, *((stage_text("reflex", words).text,) if stage.again else ()))
    return StageSaid(stage.anchor, title, tubes_of(stage), texts, tuple(_facts(stage, findings, bench)))


def _facts(stage: StageInOrder, findings: HowItWorksFindings, bench: Bench) -> Iterator[tuple[str, Phrase]]:
    if stage.by_type:
        between = " and its place between the others: the record names no job known here."
        yield "Job", (f"By its type{between if stage.job == 'if' else ': the record does not say.'}",)
    if received := _received(stage, findings, bench):
        yield "Comes in", received
    if given := _given(stage, findings, bench):
        yield "Goes out", given
    if partner := findings.stage(stage.works_on):
        yield "Belongs to", (_link(partner, bench),)
    yield from (("Read", read) for read in _readings(stage))
    if first := findings.stage(stage.read_with):
        yield "Read", ("told at ", _link(first, bench))
    for figures in stage.worked_out:
        if told := _worked_out(figures, stage, bench):
            yield "Worked out", told
    for trouble in stage.faults:
        yield "Fault here", _trouble(trouble)


def _link(stage: StageInOrder, bench: Bench) -> Link:
    tubes = " and ".join(tube.tube for tube in stage.tubes)
    return Link(f"{title_of(stage, bench.words)}{f' {tubes}' if tubes else ''}", stage.anchor)


def _signal(stage: StageInOrder) -> str:
    hertz = say(stage.hands_on_hertz, "Hz") if stage.hands_on_hertz else ""
    return " ".join(filter(None, (stage.hands_on, hertz)))


def _received(stage: StageInOrder, findings: HowItWorksFindings, bench: Bench) -> Phrase:
    """What the stages before it give."""
    before = [one for number in stage.takes_from if (one := findings.stage(number))]
    return listed([(f"{_signal(one)} from ".lstrip(), _link(one, bench)) for one in before], ", ", " or ")


def _given(stage: StageInOrder, findings: HowItWorksFindings, bench: Bench) -> Phrase:
    """What it gives to the stages behind it; at both ends of the set also the frequencies."""
    bands = _bands(stage, findings)
    behind = [one for number in stage.gives_to if (one := findings.stage(number))]
    to = listed([(f"{_signal(stage)} to ".lstrip(), _link(one, bench)) for one in behind])
    return (*to, *(("; ",) if to and bands else ()), *((bands,) if bands else ()))


def _bands(stage: StageInOrder, findings: HowItWorksFindings) -> str:
    """The bands that the aerial hands on, or where the oscillator runs for each."""
    row = next(row.row for row in findings.rows if stage in row.stages)
    told = []
    for band in findings.bands:
        if findings.both and band.fm is not (row == "FM radio"):
            continue
        if stage.job == "aerial":
            told.append(f"{band.band} {band.written}")
        elif stage.job == "oscillator" and band.oscillator_hertz:
            low, high = band.oscillator_hertz
            told.append(f"{band.band} {oscillator(low)} to {oscillator(high)}")
    above = ", if it runs above the station as is usual" if told and stage.job == "oscillator" else ""
    return f"{', '.join(told)}{above}"


def _readings(stage: StageInOrder) -> Iterator[Phrase]:
    """The newest readings, those of one list together."""
    for run, rows in groupby(stage.readings, key=lambda reading: reading.run):
        yield (*listed([_read(reading) for reading in rows]), " ", aside(run))


def _read(reading: StageReading) -> Phrase:
    volts: PhrasePart = reading.written or Amount(reading.volts, "V", Origin.MEASURED, anchor="voltages")
    said = (f"{reading.place} ", volts, *((f" {reading.current}",) if reading.current != "DC" else ()))
    off = _OUTSIDE.get(reading.verdict)
    return (*said, " ", Judged(Verdict.WATCH, (off,))) if off else said


def _worked_out(figures: StageFigures, stage: StageInOrder, bench: Bench) -> Phrase:
    """Currents, heat against its rating, and gain, each with the way to where it is worked out."""
    plate = bench.words.plate

    def amount(si: float | None, unit: str) -> Amount:
        return Amount(si, unit, Origin.COMPUTED, digits=3, anchor="voltages")

    told: list[Phrase] = []
    if figures.plate_amps is not None:
        told.append((f"{plate} current ", amount(figures.plate_amps, "A")))
    elif figures.cathode_amps is not None:
        told.append(("cathode current ", amount(figures.cathode_amps, "A")))
    if figures.plate_watts is not None:
        most = figures.max_plate_watts
        of = (" of ", Amount(most, "W", Origin.PUBLISHED), " allowed") if most is not None else ()
        over = (" ", Judged(Verdict.FAULT, ("over its rating",))) if figures.over_rating else ()
        told.append((f"heat at the {plate} ", amount(figures.plate_watts, "W"), *of, *over))
    if figures.gain_times is not None:
        times = with_decimal_sign(f"{to_figures(figures.gain_times, 2):g}")
        told.append(("amplifies about ", Link(f"{times} times", "voltages", Origin.COMPUTED)))
    head = f"{figures.stage}: " if len(stage.worked_out) > 1 else ""
    return ((head,) if head and told else ()) + listed(told)


def _trouble(trouble: StageTrouble) -> Phrase:
    said = ": ".join(filter(None, (trouble.complaint, trouble.cause)))
    state = ("put right",) if trouble.cured else ("no cure written",)
    verdict = Verdict.PUT_RIGHT if trouble.cured else Verdict.UNKNOWN
    return (Link(said or "a fault", "faults"), " ", Judged(verdict, state))
