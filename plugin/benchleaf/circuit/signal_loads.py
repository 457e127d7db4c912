"""Whether a plate works into the resistor at it: in a stage at radio frequency that only feeds a coil."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from ..record.place_words import B_PLUS
from .elements import CAPACITOR
from .in_place import in_place
from .tube_jobs.job_section import BY_DIODES, section_for
from .tube_jobs.tube_job import JobsOfTube, known_jobs

if TYPE_CHECKING:
    from .elements import Element
    from .network import Network, StageLoad
    from .places import Place
    from .stages import Stage

LoadUnknown = Literal["", "job", "type", "bypass", "coil", "nothing"]
"""Why a load is not known: the tube's ``job`` is at radio frequency; of no written job, its ``type`` is made for
that, or a ``bypass`` at its resistor serves for that alone; a ``coil`` is written,
but not what it is as a load; or ``nothing`` is written between plate and rail."""

_TUNED = frozenset({"rf", "fm front end", "converter", "mixer", "if", "limiter", "oscillator", "beat oscillator"})
_RF_TYPES = ("remote-cutoff", "semi-remote-cutoff", "RF pentode", "screen-grid")
_LOW_HERTZ = 400.0
"""The frequency that sets are tested with for sound. Common practice, no source."""


def why_unknown(load: StageLoad | None, plate: Place, network: Network, jobs: Mapping[str, JobsOfTube]) -> LoadUnknown:
    """Why a plate's load is not known, by what the network has for it; empty where it is."""
    stage = network.stage_of(plate)
    if load is not None and load.how == "reflected":
        return ""
    if stage is not None and _is_tuned(stage, network, jobs):
        return "job"
    if load is None:
        return "coil" if network.feeds(plate) else "nothing"
    if load.how == "resistors" and any(at.kind == B_PLUS for at in network.joined_to(plate)):
        return "nothing"
    if stage is None or load.how != "resistors" or _keys(stage, network, jobs) or _grids_behind(stage, network):
        return ""
    tube = network.places.tubes.get(stage.tube)
    if tube is not None and (tube.role or "").startswith(_RF_TYPES):
        return "type"
    return "bypass" if _bypassed_for_rf(load.parts[0], network) else ""


def _keys(stage: Stage, network: Network, jobs: Mapping[str, JobsOfTube]) -> set[str]:
    """The jobs that a section may do; what a tube's diodes do is none of them."""
    tube = network.places.tubes.get(stage.tube)
    diodes = tube is not None and any(section.name.startswith("diode") for section in tube.sections)
    keys = {job.key for job in jobs[stage.tube].jobs} if stage.tube in jobs else set()
    return {key for key in (keys - BY_DIODES if diodes else keys) if section_for(tube, key)[0] in ("", stage.section)}


def _is_tuned(stage: Stage, network: Network, jobs: Mapping[str, JobsOfTube]) -> bool:
    """Whether a stage works at radio frequency; one with another job too, where no grid for sound hangs on it.

    A section without a job of its own beside one that works there makes its oscillation.
    """
    if stage.tube not in jobs or not any(job.key in _TUNED for job in jobs[stage.tube].jobs):
        return False
    keys = _keys(stage, network, jobs)
    if keys and not keys & _TUNED:
        return False
    return keys <= _TUNED or not any(_for_sound(grid, jobs) for grid in _grids_behind(stage, network))


def _for_sound(grid: Place, jobs: Mapping[str, JobsOfTube]) -> bool:
    known = known_jobs()
    return grid.tube in jobs and any(known[job.key].lane == "audio" for job in jobs[grid.tube].jobs)


def _grids_behind(stage: Stage, network: Network) -> list[Place]:
    return [coupling.grid for coupling in network.couplings if coupling.plate in stage.plates]


def _bypassed_for_rf(resistor: Element, network: Network) -> bool:
    """Whether all that bypasses either end of a resistor is too small to do so for sound."""
    ohms = in_place(resistor.listed, "now").value
    for end in resistor.ends:
        beside = network.to_common(end, CAPACITOR)
        farads = sum(in_place(one.listed, "now").value or 0.0 for one in beside)
        if ohms and farads and 1 / (2 * math.pi * _LOW_HERTZ * farads) > ohms:
            return True
    return False
