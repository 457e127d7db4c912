"""Where a figure, a limit or a rule comes from, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum


class Standing(Enum):
    """How far a source can be leaned on; ``strength`` is the greater the better."""

    READ = (3, "published and read")
    CHECKED = (2, "found in more than one place")
    PRACTICE = (1, "common practice, no source")
    MEMORY = (0, "from memory")

    def __init__(self, strength: int, words: str) -> None:
        self.strength = strength
        self.words = words


@dataclass(frozen=True, slots=True)
class Source:
    """One source. ``title`` names the publication, empty where the standing is all there is to say.

    ``of`` names what rests on it, for a list in which an entry without a publication would say nothing of itself.
    """

    standing: Standing
    title: str = ""
    of: str = ""

    @property
    def text(self) -> str:
        """As it stands in a sentence: the publication, or that there is none."""
        return self.title or self.standing.words

    @property
    def entry(self) -> str:
        """As it stands in the list of sources: only how sure it is where it is less than published and read."""
        if self.title:
            return self.title if self.standing is Standing.READ else f"{self.title} ({self.standing.words})"
        words = self.standing.words
        return f"{self.of}: {words}" if self.of else f"{words[:1].upper()}{words[1:]}"


COMMON_PRACTICE = Source(Standing.PRACTICE)
DECIBELS = Source(Standing.READ, "ISO 80000-3: 20 log of a ratio of volts or amperes, 10 log of one of watts")
FROM_MEMORY = Source(Standing.MEMORY)


def numbered(sources: Iterable[Source | None]) -> Mapping[Source, int]:
    """Each source once with its number on the page, in the order in which they are first leaned on."""
    once = dict.fromkeys(source for source in sources if source is not None)
    return {source: number for number, source in enumerate(once, 1)}


def weakest(sources: Iterable[Source | None]) -> Source | None:
    """The source that a value computed from several rests on: the least sure of them; None where none is named."""
    named = [source for source in sources if source is not None]
    return min(named, key=lambda source: source.standing.strength, default=None)
