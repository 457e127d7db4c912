"""The files of a set, and the one way to read them.

A set's folder may come from a stranger, and a link in it may lead to any file of this machine. A file is read only if
it is an ordinary file and lies, all links followed, inside the folder it is read for: the set's own, or the folder of
sets for a neighbour's record. Links that stay inside are followed. A hard link cannot be told from the file itself.
"""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PureWindowsPath

from .plain_files import plain_file
from .problems import Problem

MOST_BYTES = 4_000_000
"""As much of a text as is read; what a record, a story or a spreadsheet may hold is less, and told by its reader."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a file is not read. It never says where a link leads: that is the machine's own business."""

    found: str
    expected: str
    remedy: str

    def problem(self, file: str, place: tuple[int, int] = (1, 1), field: str = "") -> Problem:
        """The same as a problem at its place; for a whole file that is its beginning."""
        return Problem(file, *place, field, self.found, self.expected, self.remedy)


_INSIDE = "a file within the set's folder"
_ORDINARY = "an ordinary file"
MISSING = Refusal("no such file", _INSIDE, "look at the spelling of the path")
OUTSIDE = Refusal("a link to somewhere outside the set's folder", _INSIDE, "put the file itself in place of the link")
_NOWHERE = Refusal("a link that leads nowhere", _INSIDE, "put the file itself in place of the link")
_FOLDER = Refusal("a folder", _ORDINARY, "name a file in it")
_SPECIAL = Refusal("something that is no ordinary file", _ORDINARY, "put an ordinary file in its place")
UNREADABLE = Refusal("a file that cannot be read", _ORDINARY, "look at the file's permissions")


def located(path: Path, root: Path) -> Path | Refusal:
    """Where `path` really lies, all links followed; or why it is no ordinary file inside the folder `root`."""
    try:
        real = Path(os.path.realpath(path))
        # Asked before anything is said of the file, or a link would tell what there is elsewhere on the disk.
        if not real.is_relative_to(os.path.realpath(root)):
            return OUTSIDE
        mode = os.lstat(real).st_mode
    except (OSError, ValueError):
        return _NOWHERE if os.path.lexists(path) else MISSING
    if stat.S_ISDIR(mode):
        return _FOLDER
    if stat.S_ISLNK(mode):  # a circle of links
        return _NOWHERE
    return real if stat.S_ISREG(mode) else _SPECIAL


def located_folder(path: Path, root: Path) -> Path | Refusal | None:
    """The folder `path`, None where there is none, or why it is not looked into: it lies outside `root`."""
    found = located(path, root)
    if found is _FOLDER:
        return path
    return found if found in (OUTSIDE, _NOWHERE) else None


@contextlib.contextmanager
def opened(path: Path, root: Path) -> Iterator[int | Refusal]:
    """A descriptor of the ordinary file `path` inside `root`, open for reading, or why there is none.

    What was looked up is looked up again once it is open, so that a link put there in between is noticed.
    """
    with contextlib.ExitStack() as stack:
        file: int | Refusal
        real = located(path, root)
        if isinstance(real, Refusal):
            file = real
        else:
            try:
                file = stack.enter_context(plain_file(real))
                if located(path, root) != real or not os.path.samestat(os.fstat(file), os.lstat(real)):
                    file = OUTSIDE
            except (OSError, ValueError):
                file = UNREADABLE
        yield file


def read(path: Path, root: Path, most: int = MOST_BYTES) -> bytes | Refusal:
    """The bytes of the ordinary file `path` inside `root`, one more than `most` at the most; or why it is not read."""
    with opened(path, root) as file:
        if isinstance(file, Refusal):
            return file
        try:
            with os.fdopen(file, "rb", closefd=False) as content:
                return content.read(most + 1)
        except OSError:
            return UNREADABLE


def is_below(path: str) -> bool:
    """Whether a path with forward slashes leads to somewhere below the folder it is written for, on any system."""
    steps = path.split("/")
    there = bool(path) and not PureWindowsPath(path).drive and "\\" not in path and "\0" not in path
    return there and not {"", ".", ".."} & set(steps)
