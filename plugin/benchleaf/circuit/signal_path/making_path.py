"""From a circuit to the way of the signal through it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .jobs_in_set import JobsInSet
from .path_stage import OTHER, UNKNOWN, Lane, PathStage, SignalPath
from .radio_lanes import MAKES_IF, audio_lane, radio_lanes
from .supply_lanes import supply_lanes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ..circuit import Circuit


def signal_path_of(circuit: Circuit) -> SignalPath:
    """The stages of a set in the order of the signal, then its supply, then tubes whose job is not known."""
    jobs = JobsInSet(circuit)
    radio = tuple(radio_lanes(jobs))
    audio = audio_lane(jobs, radio)
    lanes = [*radio, *((audio,) if audio else ()), *supply_lanes(jobs)]
    unknown = tuple(PathStage(UNKNOWN, (jobs.tube(position, ""),), written=words) for position, words in jobs.unread())
    if unknown:
        lanes.append(Lane(OTHER, unknown))
    again = audio is not None and any(stage.again for stage in audio.stages)
    reflex = again or any(of.reflex for of in jobs.of_tube.values())
    return SignalPath(tuple(lanes), _kind(jobs, radio), reflex, jobs.told)


def _kind(jobs: JobsInSet, radio: Sequence[Lane]) -> str:
    """The kind of receiver, by its stages and by an intermediate frequency that is written."""
    keys = {stage.key for lane in radio for stage in lane.stages}
    if not keys:
        return ""
    if keys & {*MAKES_IF, "if"} or jobs.circuit.record.IF:
        return "superheterodyne"
    if "regenerative detector" in keys:
        return "regenerative"
    return "TRF" if "rf" in keys else ""
