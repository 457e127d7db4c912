"""From the aerial to the detector, and on to the loudspeaker: the rows that the signal passes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...record.place_words import AVC
from ..tube_jobs.tube_job import AM, FM
from .path_stage import AM_RADIO, AUDIO, FM_RADIO, MAY_BE_UNKNOWN, RADIO, UNTOLD, Lane, PathStage

if TYPE_CHECKING:
    from .jobs_in_set import JobsInSet, Work

MAKES_IF = ("converter", "mixer", "fm front end")
DETECTS = ("detector", "regenerative detector", "ratio detector", "discriminator", "fm detector")
_OF_INTERMEDIATE = (*MAKES_IF, "if", "limiter")
_TOGETHER = ("output", "phase splitter")
"""Jobs that several tubes do as one stage."""
_DIODE_NAMES = ("d", "cr", "x")
"""How names of crystal diodes begin in parts lists."""


def radio_lanes(jobs: JobsInSet) -> Iterator[Lane]:
    """One row for a set of one kind of broadcast, two for AM and FM; none where no tube works at radio frequencies."""
    both = jobs.fm and jobs.am
    for modulation, kind in ((FM, FM_RADIO), (AM, AM_RADIO if both else RADIO)):
        if jobs.fm if modulation == FM else jobs.am:
            works = [w for w in jobs.works if w.lane == "radio" and jobs.is_for(w, modulation)]
            if works:
                yield _radio_lane(jobs, modulation, kind, works)


def _radio_lane(jobs: JobsInSet, modulation: str, kind: str, works: Sequence[Work]) -> Lane:
    ordered = sorted(works, key=lambda work: work.rank)
    if modulation == FM and any(w.key in DETECTS and w.key != "detector" for w in ordered):
        ordered = [work for work in ordered if work.key != "detector"]
    middle = [_numbered(work, ordered, _hands_on(work.key, ordered)) for work in ordered]
    if modulation == FM:
        middle = [replace(stage, key="fm detector") if stage.key == "detector" else stage for stage in middle]
    stages = [PathStage("aerial", hands_on="RF"), *middle]
    keys = [stage.key for stage in stages]
    if set(keys) & {"if", "limiter"} and not set(keys) & set(MAKES_IF):
        at = next(n for n, key in enumerate(keys) if key in ("if", "limiter"))
        stages.insert(at, _untold(jobs, "IF"))
    if not any(stage.key in DETECTS for stage in stages):
        stages.append(_crystal(jobs) or _untold(jobs, "AF"))
    return Lane(kind, tuple(stages), tuple(_beside(jobs, modulation, stages)))


def _untold(jobs: JobsInSet, hands_on: str) -> PathStage:
    """A stage that there must be: one of the tubes whose words are not known may do its work, where there is one."""
    return PathStage(MAY_BE_UNKNOWN if any(jobs.unread()) else UNTOLD, hands_on=hands_on)


def _hands_on(key: str, works: Iterable[Work]) -> str:
    """What a stage gives to the next: in a set without intermediate frequency all before the detector is RF."""
    if key in DETECTS:
        return "AF"
    return "IF" if key in _OF_INTERMEDIATE and any(w.key in _OF_INTERMEDIATE for w in works) else "RF"


def _numbered(work: Work, works: Sequence[Work], hands_on: str) -> PathStage:
    """A stage with its number among those of its kind; one that is alone has none."""
    alike = [other for other in works if other.key == work.key]
    return replace(work.stage(hands_on), number=alike.index(work) + 1 if len(alike) > 1 else 0)


def _crystal(jobs: JobsInSet) -> PathStage | None:
    """A detector that is no tube but a crystal diode of the parts list."""
    named = [
        one.name
        for one in jobs.circuit.components
        if one.name.casefold().startswith(_DIODE_NAMES) and "detector" in one.piece.job.casefold()
    ]
    return PathStage("detector", parts=tuple(named), hands_on="AF") if named else None


def _beside(jobs: JobsInSet, modulation: str, stages: Sequence[PathStage]) -> Iterator[tuple[int, PathStage]]:
    """The stages that work on one of the row: oscillator, AVC, indicators."""
    keys = [stage.key for stage in stages]
    makes = next((n for n, key in enumerate(keys) if key in ("converter", "mixer")), None)
    detects = next((n for n, key in enumerate(keys) if key in DETECTS), len(keys) - 1)
    separate = [w for w in jobs.works if w.key == "oscillator" and jobs.is_for(w, modulation)]
    if makes is not None:
        yield from ((makes, work.stage("oscillator")) for work in separate)
        if not separate and keys[makes] == "converter":
            yield makes, _own_oscillator(jobs, stages[makes])
    if modulation == FM and jobs.am:
        return
    others = sorted((w for w in jobs.works if w.lane == "beside" and w.key != "oscillator"), key=lambda w: w.rank)
    if not any(work.key == "avc" for work in others) and _has_avc(jobs):
        yield detects, PathStage("avc")
    yield from ((detects, work.stage()) for work in others)


def _own_oscillator(jobs: JobsInSet, converter: PathStage) -> PathStage:
    """The oscillator that is in the converter's own bulb."""
    tubes = tuple(jobs.tube(tube.position, "oscillator") for tube in converter.tubes)
    apart = [tube for tube in tubes if tube.section.startswith("oscillator") or tube.section == "triode"]
    same = tuple(replace(tube, section="") for tube in tubes)
    return PathStage("oscillator", tuple(apart) or same, hands_on="oscillator", by_type=converter.by_type)


def _has_avc(jobs: JobsInSet) -> bool:
    """Whether the parts lie at an AVC line."""
    return any(end.kind == AVC for element in jobs.circuit.network.elements for end in element.ends)


def audio_lane(jobs: JobsInSet, before: Iterable[Lane]) -> Lane | None:
    """From the first audio tube to the loudspeaker; None where no tube works there."""
    ordered = sorted((w for w in jobs.works if w.lane == "audio"), key=lambda work: work.rank)
    if not ordered:
        return None
    passed = {
        (tube.position, tube.section)
        for lane in before
        for stage in lane.stages
        for tube in stage.tubes
        if stage.key in ("rf", "if") and tube.section_known
    }
    stages: list[PathStage] = []
    for work in ordered:
        together = [other for other in ordered if other.key == work.key]
        if work.key in _TOGETHER and work is not together[0]:
            continue
        again = (work.tube.position, work.tube.section) in passed
        one = work.stage("AF", again=again)
        if work.key in _TOGETHER:
            one = replace(one, tubes=tuple(other.tube for other in together), number=0)
        stages.append(one)
    if stages[-1].key == "output" and jobs.push_pull and len(stages[-1].tubes) > 1:
        stages[-1] = replace(stages[-1], key="push-pull")
    return Lane(AUDIO, (*stages, PathStage("loudspeaker")))
