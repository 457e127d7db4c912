"""What failed across the archive, counted: each job with how its parts failed, and what was ruled out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from ..record.sections.faults import RULED_OUT
from .failed_parts import HOWS, Failed

MOST_JOBS = 20
"""Rows of the table; the list below it has every job, and the table says so where it leaves some out."""


@dataclass(frozen=True, slots=True)
class JobTally:
    """One job: how many of its parts failed in each way, in the order of the columns; in how many sets.

    ``ruled_out`` counts parts of that job that were suspected and were not the cause.
    """

    job: str
    counts: tuple[int, ...]
    sets: int
    ruled_out: int


@dataclass(frozen=True, slots=True)
class JobTallies:
    """The jobs that failed most, most sets first; ``ways`` heads the columns of their counts.

    ``of_all`` is how many jobs there are, those that are left out among them.
    """

    ways: tuple[str, ...]
    jobs: tuple[JobTally, ...]
    any_ruled_out: bool
    of_all: int


def job_tallies(found: Iterable[tuple[str, Failed]]) -> JobTallies:
    """The counts of what failed and what was ruled out, each given with the set that it is of."""
    failed: dict[str, Counter[str]] = {}
    sets: dict[str, set[str]] = {}
    for of_set, one in found:
        failed.setdefault(one.job, Counter())[one.how] += 1
        if one.how != RULED_OUT:
            sets.setdefault(one.job, set()).add(of_set)
    ways = tuple(how for how in HOWS if any(counts[how] for counts in failed.values()))
    jobs = [
        JobTally(job, tuple(failed[job][how] for how in ways), len(of_job), failed[job][RULED_OUT])
        for job, of_job in sets.items()
    ]
    jobs.sort(key=lambda tally: (-tally.sets, -sum(tally.counts), tally.job))
    return JobTallies(ways, tuple(jobs[:MOST_JOBS]), any(tally.ruled_out for tally in jobs), len(jobs))
