"""The sentences on each kind of stage, from the file beside this one, in the words of a dialect."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from ...record.units import say

if TYPE_CHECKING:
    from ...words import Words
    from .findings import StageInOrder

_SHORT_WAVE = 3e6
_ORDINALS = ("", "First", "Second", "Third", "Fourth", "Fifth", "Sixth")


@dataclass(frozen=True, slots=True)
class StageText:
    """What a kind of stage is called, and what it does, for somebody who is no engineer."""

    title: str
    text: str


@cache
def _written() -> dict[str, StageText]:
    with Path(__file__).with_name("stage_texts.csv").open(encoding="utf-8", newline="") as file:
        return {row["key"]: StageText(row["title"], row["text"]) for row in csv.DictReader(file)}


def stage_text(key: str, words: Words) -> StageText:
    """The text of a key in the words of a dialect. Raises KeyError for a key that the file does not have."""
    text = _written()[key]
    said = words.by_name()
    said |= {name.capitalize(): word[:1].upper() + word[1:] for name, word in said.items()}
    return StageText(text.title.format(**said), text.text.format(**said))


def has_text(key: str) -> bool:
    """Whether the file has a text for a key."""
    return key in _written()


def oscillator(hertz: float) -> str:
    """A frequency of the oscillator: a kilohertz counts on medium wave, on short wave the dial does not show it."""
    return say(hertz, "Hz", digits=4 if hertz < _SHORT_WAVE else 3)


def title_of(stage: StageInOrder, words: Words) -> str:
    """``Converter``, ``Second IF amplifier``."""
    title = stage_text(stage.job, words).title
    if not stage.which:
        return title
    return f"{_ORDINALS[stage.which]} {title}" if stage.which < len(_ORDINALS) else f"{title} {stage.which}"


def tubes_of(stage: StageInOrder) -> str:
    """``V3 12AV6, triode``; several one behind the other."""
    tubes = (f"{t.tube} {t.type}{f', {t.section}' if t.section else ''}" for t in stage.tubes)
    return "; ".join(filter(None, (*tubes, " ".join(stage.parts))))
