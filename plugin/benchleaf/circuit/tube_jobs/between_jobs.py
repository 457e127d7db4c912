"""The job of a tube that no known word is said of, by its type and by the tubes on either side of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

from .tube_job import JobsOfTube, TubeJob

if TYPE_CHECKING:
    from ...tubes import Tube

_MAKES_IF = frozenset({"converter", "mixer"})
_DETECTS = frozenset({"detector", "ratio detector", "discriminator", "fm detector", "first audio"})
_FOR_RADIO = ("RF pentode", "remote-cutoff pentode", "semi-remote-cutoff pentode", "remote-cutoff tetrode")
"""Roles of tubes that amplify radio or intermediate frequency and little else."""


def with_those_between(jobs: Mapping[str, JobsOfTube], tubes: Mapping[str, Tube]) -> dict[str, JobsOfTube]:
    """The jobs of a set, where no intermediate-frequency amplifier is said with what can only be one.

    That is a tube for radio frequency without a known job that the record lists between converter and detector.
    """
    found = _with_their_own_oscillators(jobs, tubes)
    keys = [{job.key for job in of.jobs} for of in found.values()]
    if any("if" in of for of in keys):
        return found
    first = next((n for n, of in enumerate(keys) if of & _MAKES_IF), None)
    last = next((n for n, of in enumerate(keys) if of & _DETECTS and first is not None and n > first), None)
    if first is None or last is None:
        return found
    for position, of in list(found.items())[first + 1 : last]:
        tube = tubes.get(position)
        if not of.jobs and tube is not None and (tube.role or "") in _FOR_RADIO:
            found[position] = replace(of, jobs=(TubeJob("if"),), unread=(), by_type=True)
    return found


def _with_their_own_oscillators(jobs: Mapping[str, JobsOfTube], tubes: Mapping[str, Tube]) -> dict[str, JobsOfTube]:
    """A mixer whose bulb is made with an oscillator of its own is a converter, where no other tube oscillates."""
    if any(job.key == "oscillator" for of in jobs.values() for job in of.jobs):
        return dict(jobs)
    return {
        position: replace(of, jobs=tuple(replace(j, key="converter") if j.key == "mixer" else j for j in of.jobs))
        if (tube := tubes.get(position)) and "converter" in (tube.role or "")
        else of
        for position, of in jobs.items()
    }
