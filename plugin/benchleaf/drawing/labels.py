"""Where the words of a drawing stand, and which of them run into each other."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

EM_PER_LETTER = 0.56
"""Mean width of a letter of a sans-serif font in em: between 8 % under and 24 % over what Chromium measured."""

WIDEST = 1.09
"""Of the mean width, what a label comes to in a wide font: “now 4.7 nF” was cut at the edge."""

_TURNED = re.compile(r"rotate\(\s*(-?[\d.]+)")
_BASELINE_OVER_MIDDLE = {"central": 0.0, "middle": 0.0, "hanging": 0.5, "ideographic": -0.5}


@dataclass(frozen=True, slots=True)
class Label:
    """A word or line in a drawing: middle of its box, half its width and height, turned by an angle in degrees.

    ``grows`` is which way it grows in a wider font: 1 from its start, -1 from its end, 0 both ways from its middle.
    """

    words: str
    x: float
    y: float
    half_width: float
    half_height: float
    angle: float = 0.0
    grows: float = 0.0

    @classmethod
    def of(cls, words: str, attributes: Mapping[str, str]) -> Label:
        """Estimate the box of an SVG text from its attributes."""
        size = float(attributes.get("font-size", "16").removesuffix("px"))
        half = width_of(words, size) / 2
        turned = _TURNED.match(attributes.get("transform", ""))
        angle = float(turned[1]) if turned else 0.0
        along = {"middle": 0.0, "end": -half}.get(attributes.get("text-anchor", "start"), half)
        across = size * _BASELINE_OVER_MIDDLE.get(attributes.get("dominant-baseline", ""), -0.35)
        cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        x = float(attributes.get("x", "0")) + along * cos - across * sin
        y = float(attributes.get("y", "0")) + along * sin + across * cos
        return cls(words, x, y, half, size / 2, angle, math.copysign(1.0, along) if along else 0.0)

    def room(self) -> tuple[float, float, float, float]:
        """The same as ``extent`` for the widest letters that a reader's font may have."""
        more, angle = self.half_width * (WIDEST - 1), math.radians(self.angle)
        x, y = self.x + self.grows * more * math.cos(angle), self.y + self.grows * more * math.sin(angle)
        return replace(self, x=x, y=y, half_width=self.half_width + more).extent()

    def extent(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the upright box around it."""
        cos, sin = abs(math.cos(math.radians(self.angle))), abs(math.sin(math.radians(self.angle)))
        wide = self.half_width * cos + self.half_height * sin
        high = self.half_width * sin + self.half_height * cos
        return self.x - wide, self.y - high, self.x + wide, self.y + high


def width_of(words: str, size: float) -> float:
    """Estimated width of a line of text at a font size, in the unit of the size."""
    return EM_PER_LETTER * size * len(words)


def collisions(labels: Sequence[Label]) -> list[tuple[str, str]]:
    """Pairs of labels whose boxes share more than a hair's breadth, in the order they stand in the drawing."""
    found = []
    for at, one in enumerate(labels):
        left, top, right, bottom = one.extent()
        for other in labels[at + 1 :]:
            other_left, other_top, other_right, other_bottom = other.extent()
            beside = min(right, other_right) - max(left, other_left)
            over = min(bottom, other_bottom) - max(top, other_top)
            if beside > 0.5 and over > 0.5:
                found.append((one.words, other.words))
    return found
