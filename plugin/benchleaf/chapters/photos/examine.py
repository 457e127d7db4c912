"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..bench import Bench
from .findings import PhotosFindings, Shot, Subject
from .pointers import pointers

if TYPE_CHECKING:
    from ...record.model import Record

STAGES = {"": "", "before": "before the work", "during": "during the work", "after": "after the work"}


def examine(bench: Bench) -> PhotosFindings | None:
    """The photos; None where the record names none."""
    record = bench.record
    subjects = []
    marked = pointers(record)
    for name, photo in record.photos.items():
        shots = tuple(
            Shot(
                str(file),
                stage,
                alt(record, str(name), stage),
                marked.get(str(file), ()),
            )
            for stage, file in photo.files().items()
        )
        if shots or photo.legend:
            subjects.append(Subject(str(name), shots, photo.legend))
    if not subjects:
        return None
    return PhotosFindings(tuple(subjects), sum(len(s.shots) for s in subjects), sum(len(s.shots) > 1 for s in subjects))


def label(name: str, stage: str) -> str:
    """What a picture shows and when it was taken: ``Under the chassis, after the work``."""
    subject = f"{name[:1].upper()}{name[1:]}"
    return f"{subject}, {STAGES[stage]}" if stage else subject


def alt(record: Record, name: str, stage: str) -> str:
    """The same for those who do not see it, with the set that it is of."""
    return f"{record.maker} {record.model}: {label(name, stage)}"
