"""The jobs of all tubes of one set, each with its tube and the section of it that does the work."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ..frequencies import is_fm
from ..tube_jobs.job_section import section_for
from ..tube_jobs.tube_job import AM, FM, JobsOfTube, TubeJob, known_jobs
from .path_stage import PathStage, PathTube

if TYPE_CHECKING:
    from ..circuit import Circuit

_FM_DETECTORS = ("ratio detector", "discriminator", "fm detector")
_WHOLE = PathTube("", "")


@dataclass(frozen=True, slots=True)
class Work:
    """One job of one tube in the set."""

    job: TubeJob
    tube: PathTube
    by_type: bool

    @property
    def key(self) -> str:
        return self.job.key

    @property
    def lane(self) -> str:
        """The row it belongs to."""
        return known_jobs()[self.job.key].lane

    @property
    def rank(self) -> tuple[int, float]:
        """Sorts it into its row; one without a number stands behind a first and before a second of its kind."""
        return known_jobs()[self.job.key].rank, self.job.number or 1.5

    def stage(self, hands_on: str = "", *, key: str = "", again: bool = False) -> PathStage:
        """The stage that this tube makes alone."""
        number = self.job.number if self.job.number > 1 or self.job.key == "if" else 0
        return PathStage(
            key or self.key, (self.tube,), number=number, hands_on=hands_on, by_type=self.by_type, again=again
        )


@dataclass(frozen=True)
class JobsInSet:
    """What each tube of a set does, by position in the record's order."""

    circuit: Circuit

    @property
    def of_tube(self) -> Mapping[str, JobsOfTube]:
        """The jobs of each tube."""
        return self.circuit.jobs

    @cached_property
    def works(self) -> tuple[Work, ...]:
        """Every job with its tube, in the record's order."""
        return tuple(
            Work(job, self.tube(position, job.key), of.by_type)
            for position, of in self.of_tube.items()
            for job in of.jobs
        )

    def tube(self, position: str, key: str) -> PathTube:
        """A tube with the section of it that does one job."""
        written = next(str(tube.type) for at, tube in self.circuit.record.tubes.items() if str(at) == position)
        known = self.circuit.tubes.get(position)
        section, is_known = section_for(known, key)
        return PathTube(position, written, section, is_known)

    @cached_property
    def told(self) -> bool:
        """Whether a job is written that is known."""
        return any(of.jobs and not of.by_type for of in self.of_tube.values())

    @cached_property
    def push_pull(self) -> bool:
        """Whether the record says that the output tubes work in push-pull, or has a phase splitter for them."""
        said = any(of.push_pull for of in self.of_tube.values())
        return said or any(work.key == "phase splitter" for work in self.works)

    @cached_property
    def fm(self) -> bool:
        """Whether it receives FM."""
        said = any(FM in work.job.modulation for work in self.works)
        return said or any(is_fm(band) for band in self.circuit.record.bands.values())

    @cached_property
    def am(self) -> bool:
        """Whether it receives AM, as a set does of which nothing is said."""
        if not self.fm:
            return True
        said = any(AM in work.job.modulation for work in self.works)
        return said or any(not is_fm(b) for b in self.circuit.record.bands.values()) or self._both_detectors

    @property
    def _both_detectors(self) -> bool:
        keys = {work.key for work in self.works}
        return "detector" in keys and bool(keys & set(_FM_DETECTORS))

    def is_for(self, work: Work, modulation: str) -> bool:
        """Whether a job is done for AM, or for FM; where it is not said, what the other jobs leave open."""
        if work.job.modulation:
            return modulation in work.job.modulation
        if not (self.fm and self.am):
            return (modulation == FM) is self.fm
        if modulation == AM:
            return True
        if work.key in ("rf", "converter", "mixer", "oscillator"):
            return not any(
                FM in w.job.modulation for w in self.works if w.key in ("fm front end", "converter", "mixer")
            )
        return work.key != "detector" or not any(w.key in _FM_DETECTORS for w in self.works)

    def unread(self) -> Iterator[tuple[str, str]]:
        """Tubes with words that name no known job, or of which nothing is said, each with the words as written."""
        for position, of in self.of_tube.items():
            if of.unread or not of.jobs:
                yield position, "; ".join(of.unread)
