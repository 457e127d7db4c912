"""A finished figure."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

ON_A_PHONE = 328
"""CSS pixels of a column on a phone 360 wide: a drawing that is legible there never scrolls there."""
_STEP = 50
"""CSS pixels from one class of least widths to the next: ``bl-least-6`` is at least 300 wide."""


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
    narrow: str = ""
    """The same on a phone, where it has a form of its own there."""

    @property
    def is_broad(self) -> bool:
        """Whether its words would be too small on a phone, so that it scrolls there at its natural size."""
        return self.width > 600


def shown_at_least(figure: Figure, pixels: float) -> Figure:
    """The figure, that scrolls inside itself rather than shrink below ``pixels`` CSS pixels of width."""
    if figure.width <= ON_A_PHONE:
        return figure
    step = ON_A_PHONE // _STEP if pixels <= ON_A_PHONE else math.ceil(pixels / _STEP)
    return replace(figure, svg=figure.svg.replace('class="', f'class="bl-least-{step} ', 1))
