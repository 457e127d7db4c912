"""Photos: what each shows and at which stage of the work."""

from __future__ import annotations

from dataclasses import dataclass

from ...bench import Bench
from ...findings import Standout
from ...record.model import Record

_STAGES = {"": "", "before": "before the work", "during": "during the work", "after": "after the work"}


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture. ``alt`` says what it shows; ``stage`` is empty for a picture that stands alone."""

    file: str
    stage: str
    alt: str


@dataclass(frozen=True, slots=True)
class Subject:
    """What was photographed, once or at several stages of the work."""

    name: str
    shots: tuple[Shot, ...]
    caption: str


@dataclass(frozen=True, slots=True)
class PhotosFindings:
    """Section ``photos``. ``pairs`` counts the subjects that were photographed at more than one stage."""

    subjects: tuple[Subject, ...]
    pictures: int
    pairs: int


def examine(record: Record, bench: Bench) -> PhotosFindings | None:
    """The photos; None where the record names none."""
    subjects = []
    for name, photo in record.photos.items():
        shots = tuple(
            Shot(str(file), stage, _alt(str(name), _STAGES[stage], str(record.maker), str(record.model)))
            for stage, file in photo.files().items()
        )
        if shots or photo.caption:
            subjects.append(Subject(str(name), shots, str(photo.caption or "")))
    if not subjects:
        return None
    return PhotosFindings(tuple(subjects), sum(len(s.shots) for s in subjects), sum(len(s.shots) > 1 for s in subjects))


def _alt(name: str, stage: str, maker: str, model: str) -> str:
    return f"{name[:1].upper()}{name[1:]} of the {maker} {model}{f', {stage}' if stage else ''}"


def standouts(findings: PhotosFindings, bench: Bench) -> list[Standout]:
    """Nothing: pictures are looked at."""
    return []
