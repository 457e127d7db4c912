"""A word of a club's own that stands in a record, and how it was taken."""

from __future__ import annotations

from dataclasses import dataclass

from .problems import quoted
from .text import LineColumn


@dataclass(frozen=True, slots=True)
class OwnWordUsed:
    """A word of the club's that a record has, what it was read as, and the place of each."""

    word: str
    means: str
    places: tuple[LineColumn, ...]

    @property
    def said(self) -> str:
        """How it was taken, with how often and where."""
        lines = list(dict.fromkeys(line for line, _ in self.places))
        times = "once" if len(self.places) == 1 else f"{len(self.places)} times"
        where = ", ".join(f"line {line}" for line in lines)
        return f"{quoted(self.word)} read as {quoted(self.means)}, as your list of words says, {times}: {where}"
