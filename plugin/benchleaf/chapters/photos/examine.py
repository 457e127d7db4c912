"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from ..bench import Bench
from .findings import PhotosFindings, Shot, Subject
from .pointers import pointers

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
                _alt(str(name), STAGES[stage], str(record.maker), str(record.model)),
                marked.get(str(file), ()),
            )
            for stage, file in photo.files().items()
        )
        if shots or photo.legend:
            subjects.append(Subject(str(name), shots, photo.legend))
    if not subjects:
        return None
    return PhotosFindings(tuple(subjects), sum(len(s.shots) for s in subjects), sum(len(s.shots) > 1 for s in subjects))


def _alt(name: str, stage: str, maker: str, model: str) -> str:
    return f"{name[:1].upper()}{name[1:]} of the {maker} {model}{f', {stage}' if stage else ''}"
