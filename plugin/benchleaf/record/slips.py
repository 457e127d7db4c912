"""The one reporter: what is wrong in a file of the writer's is handed in here, and told in the order of the file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from .lost import Lost
from .problems import MOST_TOLD, Nearest, Problem, one_of
from .set_files import is_below
from .text import NOWHERE, LineColumn, line_column_of

Remedy = str | Nearest | Callable[[], str]
"""What to do; a thing to be called is asked only where it is told, as it may take long to find."""


@dataclass(frozen=True, slots=True)
class At:
    """A place in the file, of which no piece of text is at hand: ``place`` is line and column, counted from 1."""

    place: LineColumn


Found = tuple[object, str, str, str, Remedy]
"""One slip as ``Slips.add`` takes it: what it is about, its field, what was found and expected, the remedy."""

_FEW = 12


class Slips:
    """The slips found so far in ``file``, by its name as the writer sees it."""

    def __init__(self, file: str, lost: Lost | None = None) -> None:
        self.file = file
        self.lost = lost or Lost()
        self._found: list[tuple[str, LineColumn, str, str, str, Remedy]] = []
        self._problems: list[Problem] = []
        self._missing: list[Path] = []

    def add(
        self, at: object, field: str, found: str, expected: str, remedy: Remedy = "", *, by_itself: bool = False
    ) -> None:
        """One slip; ``at`` is the piece of the file it is about, which knows its place, and in a table its file.

        Where no such piece is at hand ``at`` is an ``At``, or None for the file as a whole. What may only follow from
        something that was ``lost``, from elsewhere or from its own line, is not told, unless it is so ``by_itself``,
        whatever else the record says.
        """
        place = line_column_of(at) or NOWHERE
        if not by_itself and (place[0] in self.lost.lines or self.lost.may_explain(at, found)):
            return
        self._found.append((getattr(at, "file", self.file), place, field, found, expected, remedy))

    def add_all(self, found: Iterable[Found]) -> None:
        """Several slips, each with what ``add`` takes."""
        for slip in found:
            self.add(*slip)

    def add_problems(self, problems: Iterable[Problem]) -> None:
        """Problems that are told by others already."""
        self._problems += problems

    def miss(self, folder: Path, written: str) -> None:
        """The path of a file that a slip is about: were there a file to read, there might be no slip."""
        if is_below(written):
            self._missing.append(folder / written)

    def missing(self) -> tuple[Path, ...]:
        """Those files; what follows from the record changes with them."""
        return tuple(self._missing)

    def problems(self) -> tuple[Problem, ...]:
        """All of them, in the order of the file, as many as anybody reads."""
        told = {
            Problem.at(file, place, field, found, expected, _told(remedy))
            for file, place, field, found, expected, remedy in sorted(self._found, key=lambda f: f[:3])[:MOST_TOLD]
        }
        return tuple(sorted(told | set(self._problems))[:MOST_TOLD])


def near(word: str, known: Iterable[str]) -> Nearest:
    """The remedy that names the nearest of the ``known`` names, or all of them where they are few."""
    names = tuple(str(name) for name in known)
    return Nearest(str(word), names, f"known here: {one_of(names, 'and')}" if 0 < len(names) <= _FEW else "")


def _told(remedy: Remedy) -> str:
    if isinstance(remedy, Nearest):
        return remedy.told()
    return remedy if isinstance(remedy, str) else remedy()
