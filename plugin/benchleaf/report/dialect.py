"""The trade's words in the two dialects of the language. A page speaks the one its site chooses."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Words:
    """The words that differ between American and British pages."""

    tube: str
    tubes: str
    plate: str
    screen: str
    earth: str
    earthed: str
    aerial: str
    line: str
    wall_plug: str
    leak: str


AMERICAN = Words(
    tube="tube",
    tubes="tubes",
    plate="plate",
    screen="screen",
    earth="ground",
    earthed="grounded",
    aerial="antenna",
    line="line",
    wall_plug="wall plug",
    leak="grid leak",
)
BRITISH = Words(
    tube="valve",
    tubes="valves",
    plate="anode",
    screen="screen",
    earth="earth",
    earthed="earthed",
    aerial="aerial",
    line="mains",
    wall_plug="mains plug",
    leak="grid leak",
)
DIALECTS = {"american": AMERICAN, "british": BRITISH}
