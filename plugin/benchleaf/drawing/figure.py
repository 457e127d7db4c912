"""A finished figure."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing ready to stand in a page.

    ``name`` is unique on the page and begins its ids. ``title`` and ``description`` are plain, unescaped text; the SVG
    carries both. ``width`` and ``height`` are those of the drawing at its natural size, in CSS pixels.
    """

    name: str
    title: str
    description: str
    svg: str
    width: float
    height: float

    @property
    def is_broad(self) -> bool:
        """Whether its words would be too small on a phone, so that it scrolls there at its natural size."""
        return self.width > 600
