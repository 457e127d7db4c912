"""Photos: what each shows and at which stage of the work."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Pointer:
    """A numbered mark on a picture, by its distance from the left and the top as shares of width and height."""

    number: int
    name: str
    x_of_width: float
    y_of_height: float
    anchor: str = field(default="", metadata={"json": False})

    def x_in(self, width: int) -> int:
        """Where it is in a picture of that width, in the same unit."""
        return round(self.x_of_width * width)

    def y_in(self, height: int) -> int:
        """Where it is in a picture of that height, in the same unit."""
        return round(self.y_of_height * height)


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture. ``alt`` says what it shows; ``stage`` is empty for a picture that stands alone."""

    file: str
    stage: str
    alt: str
    pointers: tuple[Pointer, ...] = ()


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
