"""What lies beside the records and serves all of them: the nearest folder above a set that has it."""

from __future__ import annotations

from functools import lru_cache
from os.path import lexists
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.problems import Problem
from ..record.set_files import Refusal, read

if TYPE_CHECKING:
    from ..archive.stock import InDrawer
    from ..record.own_words import OwnWords
    from .whereabouts import SetsFolder

WORDS = "words.csv"
"""What the file of the club's own words is called; it lies in the folder of the sets."""
STOCK = "stock.csv"
"""What the file of the parts in the drawer is called; it lies in the folder of the sets."""
_DEPTH = 4
"""So many folders above a set are looked into where nobody says which is that of the sets."""


def above(folder: Path, name: str) -> Path | None:
    """The nearest folder above a set's that has something called ``name`` in it."""
    return next((one for one in folder.absolute().parents[:_DEPTH] if lexists(one / name)), None)


def words_beside(folder: Path) -> tuple[OwnWords, tuple[Problem, ...]]:
    """The club's own words that the set in ``folder`` is read with, and a Problem for each line that cannot be."""
    root = above(folder, WORDS)
    return ((), ()) if root is None else _words_in(root / WORDS, f"{root.name}/{WORDS}")


def words_of(sets: SetsFolder) -> tuple[OwnWords, tuple[Problem, ...]]:
    """The same of a site's archive."""
    if sets.fault or not lexists(sets.path / WORDS):
        return (), ()
    return _words_in(sets.path / WORDS, "/".join(part for part in (sets.shown, WORDS) if part))


def _words_in(file: Path, shown: str) -> tuple[OwnWords, tuple[Problem, ...]]:
    data = read(file, file.parent)
    return ((), (data.problem(shown),)) if isinstance(data, Refusal) else _words(data, shown)


@lru_cache(maxsize=8)
def _words(data: bytes, shown: str) -> tuple[OwnWords, tuple[Problem, ...]]:
    """What a file of words says. It is asked for every record that a command looks at."""
    from ..record.own_words import read_own_words

    return read_own_words(data, shown)


def drawer_of(sets: SetsFolder) -> tuple[tuple[InDrawer, ...], tuple[Problem, ...]]:
    """What is in the drawer of a site's archive, and what of the file cannot be read; nothing where there is none."""
    if sets.fault or not lexists(sets.path / STOCK):
        return (), ()
    return drawer_in(sets.path / STOCK, "/".join(part for part in (sets.shown, STOCK) if part))


def drawer_in(file: Path, shown: str) -> tuple[tuple[InDrawer, ...], tuple[Problem, ...]]:
    """The parts of one such file, which is called ``shown``, and a Problem for each line of it that cannot be read."""
    from ..archive.stock import read_stock

    data = read(file, file.parent)
    if isinstance(data, Refusal):
        return (), (data.problem(shown),)
    found, problems = read_stock(data, shown)
    return found, tuple(problems)
