"""The tube table of a club: a folder beside its sets with CSV files in it, read along with every record."""

from __future__ import annotations

from os.path import lexists
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.problems import Problem
from ..record.set_files import Refusal, read
from .beside_sets import above

if TYPE_CHECKING:
    from .whereabouts import SetsFolder

FOLDER = "tube-table"
"""What the folder is called; it lies in that of the sets."""

OwnFiles = tuple[tuple[str, bytes], ...]


def own_files(folder: Path, sets: SetsFolder | None = None) -> tuple[OwnFiles, tuple[Problem, ...]]:
    """The files of the table that the set in ``folder`` is read with, as shown to the writer; and those not read."""
    root = sets.path if sets else above(folder, FOLDER)
    return ((), ()) if root is None else table_in(root, sets.shown if sets else root.name)


def table_in(root: Path, shown: str) -> tuple[OwnFiles, tuple[Problem, ...]]:
    """The files of the table in the folder of sets ``root``, shown as ``shown``, and a Problem for each not read."""
    from ..record.own_tubes import FILES

    files, refused = [], []
    for name in FILES:
        path = root / FOLDER / name
        if lexists(path):
            content, told = read(path, root), "/".join(part for part in (shown, FOLDER, name) if part)
            if isinstance(content, Refusal):
                refused.append(content.problem(told))
            else:
                files.append((told, content))
    return tuple(files), tuple(refused)


def table_problems(sets: SetsFolder) -> tuple[Problem, ...]:
    """All that is wrong in the table of a site's sets, told once and for no set in particular."""
    if sets.fault:
        return ()
    files, refused = table_in(sets.path, sets.shown)
    return (*refused, *_unread(files))


def _unread(files: OwnFiles) -> tuple[Problem, ...]:
    if not files:
        return ()
    from ..record.own_tubes import read_own_table

    return read_own_table(files)[1]


def problems_beside(folder: Path) -> tuple[Problem, ...]:
    """All that is wrong in the table that the set in ``folder`` is read with."""
    files, refused = own_files(folder)
    return (*refused, *_unread(files))
