"""Photos: what each shows and at which stage of the work."""

from __future__ import annotations

from dataclasses import dataclass


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
