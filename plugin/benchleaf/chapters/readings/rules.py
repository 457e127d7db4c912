"""The rules of ``rules.csv``: which signs a cause makes, what must be so besides, and the words for it."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from ...report.source import Standing
from .judging import HIGH, LOW
from .patterns import holds

if TYPE_CHECKING:
    from .evidence import Evidence
    from .signs import Signs

SOURCES = {
    "practice": Standing.PRACTICE.words,
    "valveradio": "valveradio.co.uk, page on audio stages and their common faults",
}
FIRST, MEASURED, COMMON, RARE = "first", "measured", "", "rare"
RANKS = (MEASURED, COMMON, RARE)
"""Of a stage's causes, what a meter has shown goes before the rest; a rare one is named beside a single common one, or
where none fits. Common practice, no source: carbon resistors of the period go high and seldom low. ``FIRST`` marks what
is told of a set before its stages: less B+ than meant."""

LESS, LESS_PULLED_DOWN, LESS_OF_TRIODE, AS = 0.9, 0.85, 1.05, (0.7, 1.5)
"""Bounds of the drive (see ``signs``) past which a cause is ruled out. A tube and a resistor that are each a fifth off
make a drive of 0.8 to 1.25. A leak across the cathode's resistor that pulls plate or screen down by a fifth leaves 0.66
with the bias at half of cut-off. A triode near cut-off leaves up to 1: its cathode follows its plate, leak or not."""

MORE, MORE_PULLED_UP = 1.12, 0.85
"""The same for a cathode that is high: by itself, or with a plate or screen that is high too, as less current makes it.
A supply a tenth high lifts cathode and screen alike and leaves the drive at 1.1 at most."""

BESIDE = 0.2
"""How far past the middle between sound and leaking the drive may be for a leak: tube and resistor are a fifth off."""

UP_AT_LEAST, DOWN_AT_MOST, NONE_AT_MOST = 0.8, 1.2, 0.5
"""The same for the plate current over the expected one."""

_ANYTHING = "anything"


@dataclass(frozen=True, slots=True)
class Rule:
    """A cause, the signs it makes and the next measurement. The texts take ``{part}``, ``{plate}`` and ``{tube}``.

    All of ``must`` is so. ``at`` is where the cause shows itself, each electrode with its words, ``moves`` what it does
    to other electrodes; what neither names stays as it was. ``drive`` (``less``, ``as`` or ``more``) and ``current``
    (``up``, ``down`` or ``none``) are what it does to those signs. ``part`` says where the suspect stands in the
    circuit, ``otherwise`` what it is called where the parts list has none. ``fault`` is the change of a solved stage
    that makes these signs (see the tests).
    """

    name: str
    must: tuple[str, ...]
    at: Mapping[str, frozenset[str]]
    moves: Mapping[str, frozenset[str]]
    whatever: bool
    drive: str
    current: str
    rank: str
    cause: str
    why: str
    next: str
    part: str
    otherwise: str
    source: str
    fault: str

    @property
    def of_stage(self) -> bool:
        """Whether it goes by a stage's signs, and not by words of rails and rectifiers alone."""
        return bool(self.at or self.moves)

    def fits(self, case: Evidence, shown: Signs) -> bool:
        """Whether the cause makes all that the readings show, and nothing that they show not to be so."""
        if self.of_stage and not (shown.off and case.amplifies and self._explains(shown)):
            return False
        return all(holds(word, case) for word in self.must)

    def _explains(self, shown: Signs) -> bool:
        if any(word not in self.at[name] for name, word in shown.known.items() if name in self.at):
            return False
        others = {name: word for name, word in shown.off.items() if name not in self.at}
        if not self.whatever and any(word not in self.moves.get(name, ()) for name, word in others.items()):
            return False
        return self._drive_fits(shown) and self._current_fits(shown)

    def _drive_fits(self, shown: Signs) -> bool:
        drive = shown.drive
        if drive is None or not self.drive:
            return True
        if self.drive == "as":
            return AS[0] <= drive <= AS[1]
        if self.drive == "more":
            return drive >= (MORE_PULLED_UP if _puller(shown) == HIGH else MORE)
        if _puller(shown) != LOW:
            return drive <= LESS
        if shown.leaking is not None:
            return drive <= (1 + shown.leaking) / 2 + BESIDE
        return drive <= (LESS_PULLED_DOWN if shown.screen else LESS_OF_TRIODE)

    def _current_fits(self, shown: Signs) -> bool:
        if shown.b_plus_low and shown.cathode == "zero" and self.current in ("down", "none"):
            return False
        if shown.current is None or not self.current:
            return True
        least, most = shown.current
        if self.current == "up":
            return most >= UP_AT_LEAST
        return least <= (NONE_AT_MOST if self.current == "none" else DOWN_AT_MOST)


def _puller(shown: Signs) -> str:
    """The word for what pulls the current: the screen, or the plate of a triode."""
    return shown.screen or shown.plate


@cache
def rules() -> tuple[Rule, ...]:
    """All rules, in the order in which they are named where several fit alike."""
    with (Path(__file__).parent / "rules.csv").open(encoding="utf-8", newline="") as file:
        return tuple(_rule(row) for row in csv.DictReader(file))


def _rule(row: Mapping[str, str]) -> Rule:
    return Rule(
        name=row["name"],
        must=_listed(row["must"]),
        at=_electrodes(row["at"]),
        moves=_electrodes(row["moves"]),
        whatever=row["moves"] == _ANYTHING,
        drive=row["drive"],
        current=row["current"],
        rank=row["rank"],
        cause=row["cause"],
        why=row["why"],
        next=row["next"],
        part=row["part"],
        otherwise=row["otherwise"],
        source=SOURCES[row["source"]],
        fault=row["fault"],
    )


def _listed(text: str) -> tuple[str, ...]:
    return tuple(filter(None, map(str.strip, text.split(";"))))


def _electrodes(text: str) -> dict[str, frozenset[str]]:
    """``cathode low|zero; plate high`` by the electrode."""
    if text == _ANYTHING:
        return {}
    pairs = (entry.split(" ", 1) for entry in _listed(text))
    return {name: frozenset(words.split("|")) for name, words in pairs}
