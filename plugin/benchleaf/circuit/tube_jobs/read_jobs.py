"""From the words of a record to the jobs of its tubes: ``det., AVC & 1st AF``, ``AM/FM IF``, ``push-pull output``."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from .tube_job import AM, FM, JobsOfTube, KnownJob, TubeJob, known_jobs, table_beside

if TYPE_CHECKING:
    from ...tubes import Tube

_LONGEST = 300
"""Letters of a job that are looked at; nobody writes longer ones."""
_APART = re.compile(r"\s*(?:[,;:/&+()]|(?<!\w)(?:and|with|plus|und|en|y|its)(?!\w))\s*", re.I)
_STROKE = re.compile(r"(?<!\w)([a-z])/([a-z]{1,3})(?!\w)", re.I)
"""A word of the trade cut short with a stroke: ``f/c``, ``o/p``."""
_ORDINALS = {"first": 1, "1": 1, "second": 2, "2": 2, "third": 3}
_SPELLED = {"1st": "first", "2nd": "second", "3rd": "third"}
_MODULATIONS = {"am": AM, "mw": AM, "lw": AM, "sw": AM, "fm": FM, "vhf": FM, "ukw": FM, "vhf fm": FM}
_PUSH_PULL = re.compile(r"(?<!\w)(?:push pull|pushpull|p p|pp)(?!\w)")
_REFLEX = re.compile(r"(?<!\w)reflex(?:ed)?(?!\w)")
_CARRIED = frozenset({"rf", "mixer", "converter", "oscillator"})
"""Jobs of which one word for the kind of broadcast counts for all: ``FM RF and mixer``."""
_OSCILLATING = frozenset(
    {"mixer", "converter", "oscillator", "fm front end", "beat oscillator", "regenerative detector", "fm detector"}
)
_SWINGING = frozenset({"mixer", "converter", "oscillator", "fm front end"})
_BY_ITSELF = frozenset({"oscillator", "fm front end", "regulator", "tuning indicator"})
"""Jobs that another word beside them makes to another: a tremolo oscillator, a tape tuner."""


def jobs_of(written: str, tube: Tube | None) -> JobsOfTube:
    """The jobs of a tube by the words written, and where there are none by what its type has its only use for."""
    if not written.strip():
        return _by_type(tube)
    read = _JobsRead()
    for piece in _APART.split(_STROKE.sub(_without_stroke, written[:_LONGEST])):
        read.piece(piece)
    found = read.finished()
    words = _folded(written[:_LONGEST])
    jobs = _together(found, tube)
    return JobsOfTube(
        jobs,
        tuple(read.unread),
        push_pull=bool(_PUSH_PULL.search(words)),
        reflex=bool(_REFLEX.search(words)),
    )


def _without_stroke(short: re.Match[str]) -> str:
    """``f/c`` as ``f c`` where that is a phrase of the trade; anything else as it is: ``det/AVC`` are two jobs."""
    whole = f"{short[1]} {short[2]}"
    return whole if whole.casefold() in _key_of() else short[0]


class _JobsRead:
    """The jobs of one tube as they are read: ``said`` waits for the job it belongs to, ``last`` was said before."""

    def __init__(self) -> None:
        self.jobs: list[TubeJob] = []
        self.unread: list[str] = []
        self.said: set[str] = set()
        self.last: frozenset[str] = frozenset()
        self.numbers: list[int] = []

    def piece(self, written: str) -> None:
        """One item of what is written."""
        before, words = len(self.jobs), _folded(written)
        left = [word for word in _pattern().sub(" ", words).split() if word not in _empty_words()]
        for match in _pattern().finditer(words):
            word = match[0]
            if word in _MODULATIONS:
                self.said.add(_MODULATIONS[word])
            elif word in _ORDINALS:
                self.numbers.append(_ORDINALS[word])
            elif not (left and _key_of()[word].key in _BY_ITSELF):
                self._job(_key_of()[word])
        if left and len(self.jobs) == before:
            self.unread.append(" ".join(written.split()))

    def _job(self, known: KnownJob) -> None:
        modulation = frozenset({FM}) if known.fm else frozenset(self.said)
        if not modulation and known.key in _CARRIED:
            modulation = self.last
        self.last = modulation or self.last
        self.said.clear()
        for number in self.numbers or [0]:
            key = "audio" if known.key == "first audio" and number > 1 else known.key
            self.jobs.append(TubeJob(key, modulation, number))
        self.numbers.clear()

    def finished(self) -> list[TubeJob]:
        """All jobs; what is said behind the last one (``IF amplifier, AM and FM``) is said of it."""
        if self.said and self.jobs:
            last = self.jobs.pop()
            self.jobs.append(TubeJob(last.key, last.modulation | self.said, last.number))
        return self.jobs


def _together(found: list[TubeJob], tube: Tube | None) -> tuple[TubeJob, ...]:
    """The jobs, each once: one that is said for AM and for FM is for both, and mixer with oscillator is a converter."""
    merged: dict[tuple[str, int], TubeJob] = {}
    for job in found:
        other = merged.get((job.key, job.number))
        both = job.modulation | other.modulation if other and other.modulation and job.modulation else job.modulation
        merged[job.key, job.number] = TubeJob(job.key, both, job.number)
    jobs = list(merged.values())
    keys = {job.key for job in jobs}
    if "regenerative detector" in keys:
        jobs = [job for job in jobs if job.key != "detector"]
    if {"oscillator"} < keys and keys & {"mixer", "converter"}:
        jobs = [TubeJob("converter", j.modulation, j.number) if j.key == "mixer" else j for j in jobs]
        jobs = [job for job in jobs if job.key != "oscillator"]
    front = [job for job in jobs if job.key in ("rf", "converter", "mixer") and job.modulation == frozenset({FM})]
    if len({job.key for job in front}) == 2:
        first = jobs.index(front[0])
        jobs = [job for job in jobs if job not in front]
        jobs.insert(first, TubeJob("fm front end", frozenset({FM})))
    eye = tube is not None and (tube.role or "").startswith("tuning indicator")
    return tuple(TubeJob("tuning eye") if eye and job.key == "tuning indicator" else job for job in jobs)


def amplifies_only(written: str) -> bool:
    """Whether all that is written of a tube's work is known, and none of it needs an oscillation."""
    jobs = jobs_of(written, None)
    return bool(jobs.jobs) and not jobs.unread and not any(job.key in _OSCILLATING for job in jobs.jobs)


def swings(written: str) -> bool:
    """Whether what is written of a tube's work says that a grid of it oscillates, or is driven by an oscillator."""
    return any(job.key in _SWINGING for job in jobs_of(written, None).jobs)


def _by_type(tube: Tube | None) -> JobsOfTube:
    """The jobs of a type that is made for nothing else; none of one that has several uses."""
    role = (tube.role or "") if tube else ""
    keys = (
        ("rectifier", "rectifier" in role),
        ("output", "output" in role and "diode" not in role and "triode output" not in role),
        ("converter", "converter" in role),
        ("mixer", role == "pentagrid mixer"),
        ("tuning eye", role.startswith("tuning indicator")),
    )
    jobs = tuple(TubeJob(key) for key, is_so in keys if is_so)
    return JobsOfTube(jobs, by_type=bool(jobs))


def _folded(written: str) -> str:
    """Lower case, without the points of abbreviations, a blank for a hyphen, ``1st`` as ``first``."""
    words = re.sub(r"[-–_]", " ", re.sub(r"[.'’]", "", written.casefold())).split()
    return " ".join(_SPELLED.get(word, word) for word in words)


@cache
def _empty_words() -> frozenset[str]:
    """Words that say nothing of a job."""
    return frozenset(Path(__file__).with_name("empty_words.txt").read_text(encoding="utf-8").split())


@cache
def _key_of() -> dict[str, KnownJob]:
    """The job that each phrase of the trade means."""
    jobs = known_jobs()
    return {phrase: jobs[row["job"]] for row in table_beside("job_words.csv") for phrase in _phrases(row["words"])}


def _phrases(listed: str) -> Iterator[str]:
    yield from (_folded(phrase) for phrase in listed.split(";"))


@cache
def _pattern() -> re.Pattern[str]:
    """A phrase, a word for the kind of broadcast or a number, the longest first."""
    words = sorted((*_key_of(), *_MODULATIONS, *_ORDINALS), key=lambda word: (-len(word), word))
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, words))})(?!\w)")
