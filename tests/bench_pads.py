"""Bench pads made for the tests."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import cycle

import makers
from benchleaf.pages.bench_pad import PadGroup, bench_pad
from benchleaf.pages.set_page import Choices
from benchleaf.words import AMERICAN, Words

SET = """maker: Larkfield
model: Minuet 5
line: 117 V 60 Hz
power: series string
chassis: line-connected
tubes:
  V1: 12BA6
  V4: 50C5, output
  V5: 35W4, rectifier
  V9: 99XX9, odd one
readings:
  sheet:
    line: 117 V
    V4: plate 110, grid 0, cathode 5.6
    V5: plate 117 AC, cathode 118
  2026-02-22 as found:
    line: 117 V
    meter: 10 meg, 0.5 %
    to: B-
    V4: plate 96.5, cathode 7.4
    B+1: 109
"""


BARE = "maker: Larkfield\nmodel: Minuet 5\n"


def pad(text: str, words: Words = AMERICAN, name: str = "minuet-5") -> str:
    return bench_pad(makers.examined(text, words=words), name, Choices(directory_urls=False))


VALUES = ("-7,2", ".5", "<0.5", "x", "OL", "92.4", "117 AC", "~90", ">500", "−3")


def lines(groups: Sequence[PadGroup]) -> str:
    """A run as the pad writes it, with each sort of value in turn."""
    turn = cycle(VALUES)
    return "".join(
        f"    {one.name}: " + ", ".join(f"{box.at} {next(turn)}" for box in one.boxes) + "\n" for one in groups
    )
