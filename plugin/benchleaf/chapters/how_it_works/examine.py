"""What follows: the stages of the set in order, with what the other chapters know of each."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.frequencies import intermediate_for, is_fm
from ...circuit.signal_path.making_path import signal_path_of
from ...circuit.signal_path.part_in_path import HEATED, stage_of_key, stage_of_part, stage_of_place, stage_of_tube
from ...circuit.signal_path.path_stage import AM_RADIO, AUDIO, FM_RADIO, OTHER, Lane, PathStage, SignalPath
from .findings import BandOfSet, BulbAtWork, HowItWorksFindings, RowOfStages, StageInOrder, StageTrouble
from .known_of_stage import figures_of, readings_of, sections_read

if TYPE_CHECKING:
    from ..alignment.findings import AlignmentFindings
    from ..bench import Bench
    from ..faults.findings import FaultsFindings, Trail, TrailStep
    from ..readings.findings import ReadingsFindings

_SECTION = re.compile(r"\s+([a-h])\b")
_HEATERS = re.compile(r"\b(?:heaters?|filaments?)\b", re.I)
_NAMED = {
    key: re.compile(rf"\b(?:{words})\b", re.I)
    for key, words in (
        ("oscillator", "osc(?:illator)?"),
        ("resistance cord", "cord"),
        ("ballast", "ballast|barretter"),
        ("dropper", "dropper|dropping resistor"),
        ("vibrator", "vibrator"),
        ("pilot lamp", "(?:pilot |dial )?lamp"),
        ("batteries", "batter(?:y|ies)"),
        ("loudspeaker", "(?:loud)?speaker|voice coil|cone"),
        ("aerial", "aerial|antenna|loop"),
    )
}
"""What a fault may say of a stage that no tube and no part of the list stands for."""


def examine(
    bench: Bench,
    line_side: object = None,
    readings: ReadingsFindings | None = None,
    faults: FaultsFindings | None = None,
    alignment: AlignmentFindings | None = None,
) -> HowItWorksFindings | None:
    """The stages in order; None where no job of a tube is written that is known, or the site leaves the page out."""
    path = signal_path_of(bench.circuit)
    if not (path.told and bench.how_it_works):
        return None
    told = _Telling(bench, path, readings, _faults_by_stage(bench, path, faults))
    rows = tuple(RowOfStages(lane.kind, tuple(told.row(lane))) for lane in path.lanes)
    placed = sum(len(each) for each in told.troubles.values())
    return HowItWorksFindings(
        path.kind,
        path.reflex,
        rows,
        tuple(_bands(bench, alignment)),
        (len(faults.trails) if faults else 0) - placed,
        readings is not None,
        line_side is not None,
        faults is not None,
    )


@dataclass
class _Telling:
    """The stages as they are told: ``next`` is the next one's number, ``read_in`` where a tube's readings stand."""

    bench: Bench
    path: SignalPath
    readings: ReadingsFindings | None
    troubles: Mapping[PathStage, tuple[StageTrouble, ...]]
    next: int = 1
    read_in: dict[str, int] = field(default_factory=dict)
    told_of: set[PathStage] = field(default_factory=set)

    def row(self, lane: Lane) -> Iterator[StageInOrder]:
        """The stages of one row, each with those beside it behind it."""
        numbers = self._numbers(lane)
        lanes = self.path.of_signal
        radio, audio = [other for other in lanes if other.kind != AUDIO], [o for o in lanes if o.kind == AUDIO]
        first = tuple(self._numbers(other)[-1] for other in radio) if lane.kind == AUDIO else ()
        last = tuple(self._numbers(other)[0] for other in audio) if lane in radio else ()
        joined = lane.kind != OTHER
        for n, stage in enumerate(lane.stages):
            before = (numbers[n - 1],) if n else first
            behind = (numbers[n + 1],) if n + 1 < len(numbers) else last
            yield self._stage(stage, lane, before if joined else (), behind if joined else (), None)
            for at, other in lane.beside:
                if at == n:
                    yield self._stage(other, lane, (), (), numbers[n])

    def _numbers(self, lane: Lane) -> list[int]:
        """The numbers of the stages in a row, those beside them counted where they are told."""
        first = 1
        for other in self.path.lanes:
            if other is lane:
                break
            first += len(other.stages) + len(other.beside)
        return [first + n + sum(at < n for at, _ in lane.beside) for n in range(len(lane.stages))]

    def _stage(
        self,
        stage: PathStage,
        lane: Lane,
        before: tuple[int, ...],
        behind: tuple[int, ...],
        works_on: int | None,
    ) -> StageInOrder:
        number, self.next = self.next, self.next + 1
        key = next((key for key in sections_read(stage) if key in self.read_in), "")
        read_with = self.read_in.get(key)
        if read_with is None:
            self.read_in |= dict.fromkeys(sections_read(stage), number)
        first = stage not in self.told_of
        self.told_of.add(stage)
        return StageInOrder(
            number,
            stage.key,
            stage.number,
            tuple(BulbAtWork(tube.position, tube.type, tube.section) for tube in stage.tubes),
            stage.parts,
            before,
            behind,
            works_on,
            stage.hands_on,
            self._hertz(stage, lane),
            stage.written,
            stage.by_type,
            stage.again,
            tuple(readings_of(stage, self.readings, self.bench)) if read_with is None else (),
            tuple(figures_of(stage, self.readings, self.bench)) if read_with is None else (),
            self.troubles.get(stage, ()) if first else (),
            read_with,
        )

    def _hertz(self, stage: PathStage, lane: Lane) -> float | None:
        """The intermediate frequency, where that is what the stage hands on."""
        if stage.hands_on != "IF":
            return None
        both = self.path.lane(AM_RADIO) is not None
        return intermediate_for(self.bench.record, fm=lane.kind == FM_RADIO, both=both)


def _bands(bench: Bench, alignment: AlignmentFindings | None) -> Iterator[BandOfSet]:
    """The bands of the record; where the oscillator runs is the dial's, which says it above the station."""
    dials = {one.band: one.dial for one in alignment.tracking} if alignment else {}
    for name, band in bench.record.bands.items():
        dial, fm = dials.get(str(name)), is_fm(band)
        oscillator = dial.oscillator_hertz if dial and not fm else None
        yield BandOfSet(str(name), band.low_hertz, band.high_hertz, oscillator, fm, str(band.written))


def _faults_by_stage(
    bench: Bench, path: SignalPath, faults: FaultsFindings | None
) -> dict[PathStage, tuple[StageTrouble, ...]]:
    """The record's faults by the stage that each was in; those that name no part and no tube are left out."""
    found: dict[PathStage, tuple[StageTrouble, ...]] = {}
    for trail in faults.trails if faults else ():
        stage = _stage_of(bench, path, trail)
        if stage is not None:
            said = {step.name: step.text for step in trail.steps}
            trouble = StageTrouble(said.get("complaint", ""), said.get("cause") or said.get("found", ""), trail.cured)
            found[stage] = (*found.get(stage, ()), trouble)
    return found


def _stage_of(bench: Bench, path: SignalPath, trail: Trail) -> PathStage | None:
    """The stage of the first part or tube that the cause names, or else what was found, or the complaint.

    What is said of heaters is theirs, whatever tube it names; what names no part may name a stage itself.
    """
    told = " ".join(step.text for step in trail.steps if step.name in ("found", "cause"))
    if _HEATERS.search(told) and (heaters := stage_of_key(path, HEATED)):
        return heaters
    steps = [step for name in ("cause", "found", "cure", "complaint") if (step := trail.step(name))]
    for step in steps:
        for name in _linked_names(bench, step):
            stage = _stage_of_name(bench, path, name)
            if stage is not None:
                return _oscillating(path, stage, told)
    for step in steps:
        named = stage_of_key(path, [key for key, said in _NAMED.items() if said.search(step.text)])
        if named is not None:
            return named
    return None


def _linked_names(bench: Bench, step: TrailStep) -> Iterator[str]:
    """The parts, tubes and places that a step names; of a can the section whose letter stands behind it."""
    for piece, behind in zip(step.linked, (*(other.text for other in step.linked[1:]), ""), strict=True):
        if piece.anchor:
            letter = _SECTION.match(behind)
            section = f"{piece.text} {letter[1]}" if letter else ""
            yield section if bench.circuit.component(section) else piece.text


def _stage_of_name(bench: Bench, path: SignalPath, name: str) -> PathStage | None:
    of_name = stage_of_tube(path, name) or stage_of_part(bench.circuit, path, name)
    if of_name is not None:
        return of_name
    place = bench.circuit.places.read(name)
    return stage_of_place(bench.circuit, path, place) if place.tube else None


def _oscillating(path: SignalPath, stage: PathStage, told: str) -> PathStage:
    """The oscillator instead of the converter that it is in one bulb with, where the fault is said to be of it."""
    own = stage_of_key(path, ["oscillator"]) if stage.key in ("converter", "mixer") else None
    same = own is not None and {tube.position for tube in own.tubes} <= {tube.position for tube in stage.tubes}
    return own if own is not None and same and _NAMED["oscillator"].search(told) else stage
