"""Files a record names: photos, spreadsheets of readings, and the records of other sets."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.inputs import RECORD_FILE
from ..record.problems import Nearest, quoted
from ..record.slips import Slips, near
from .photos.originals import PhotoProblem, inside
from .whereabouts import CONFIGURATIONS

if TYPE_CHECKING:
    from ..record.model import Record

_MEMBERS_DEEP = 8
"""Around a set, so many folders out are looked in for the folder of the sets."""


def photos(record: Record, folder: Path, slips: Slips) -> Iterator[tuple[str, Path]]:
    """Each photo's path as written, and the file it leads to."""
    for name, photo in record.photos.items():
        named = photo.files()
        if not named:
            slips.add(name, f"photos.{name}", "no picture", "a file, such as “photos/dial.jpg”")
        for key, file in named.items():
            found = inside(folder, str(file))
            if isinstance(found, PhotoProblem):
                slips.add(file, f"photos.{name}{'.' if key else ''}{key}", found.found, found.expected, found.remedy)
            else:
                yield str(file), found


def neighbours(record: Record, folder: Path, slips: Slips) -> Iterator[tuple[str, Path]]:
    """The sets whose readings are used, by the name they are called by, and the record of each.

    A set beside this one is called by its folder; one of another member by its way from the folder of the sets.
    """
    home = folder.resolve()
    for run_name, run in record.readings.items():
        if not run.from_:
            continue
        named = run.from_.cut(0, len(run.from_.split(",")[0]))
        field = f"readings.{run_name}.from"
        path = _neighbour(home, str(named))
        if path is None:
            remedy = Nearest(str(named), _sets_around(home), "write its name as it stands on the disk")
            slips.add(named, field, quoted(named), "the folder of another set, beside this one", remedy)
        elif path.parent == home:
            slips.add(named, field, f"{quoted(named)}, this set itself", "the folder of another set, beside this one")
        else:
            yield str(named), path


def _neighbour(home: Path, named: str) -> Path | None:
    """The record of the set called so, seen from ``home``: beside it, or further out for a name with a slash."""
    parts = named.split("/")
    if not all(re.fullmatch(r"[\w.-]{1,100}", part) and part not in (".", "..") for part in parts):
        return None
    around = [home.parent] if len(parts) == 1 else _around(home)
    found = (folder / named / RECORD_FILE for folder in around)
    return next((path for path in found if path.is_file()), None)


def _around(home: Path) -> list[Path]:
    """The folders around a set, from the inmost, that may be that of the sets: none outside the site's project."""
    around = list(home.parents)[:_MEMBERS_DEEP]
    ends = (n for n, folder in enumerate(around) if any((folder / name).is_file() for name in CONFIGURATIONS))
    return around[: next(ends, len(around))]


def _sets_around(home: Path) -> tuple[str, ...]:
    """What other sets are called, seen from ``home``: those beside it, and those of the members beside its own."""
    beside = [path.parent.name for path in home.parent.glob(f"*/{RECORD_FILE}") if path.parent != home]
    members = _around(home)[1:2]
    further = [
        path.parent.relative_to(sets).as_posix()
        for sets in members
        for path in sets.glob(f"*/*/{RECORD_FILE}")
        if path.parent.parent != home.parent
    ]
    return (*sorted(beside), *sorted(further))


def with_tables(record: Record, folder: Path, slips: Slips) -> tuple[Record, dict[str, Path]]:
    """The record with the readings of its spreadsheets put in, and the files by the name of their run."""
    from ..record.spreadsheet import locate, read_spreadsheet

    runs, found = dict(record.readings), {}
    for name, run in record.readings.items():
        if not run.table:
            continue
        path = locate(folder, str(run.table))
        if isinstance(path, str):
            expected = "a spreadsheet in the set's folder, such as “readings.csv”"
            others = sorted(p.name for p in folder.glob("*.csv"))
            told = f"{quoted(run.table)}, {path}"
            slips.add(run.table, f"readings.{name}.table", told, expected, near(run.table, others))
            continue
        found[str(name)] = path
        points, problems = read_spreadsheet(_bytes(path), str(Path(slips.file).with_name(path.name)))
        slips.add_problems(problems)
        runs[name] = run.model_copy(update={"points": points | run.points})
    return (record.model_copy(update={"readings": runs}) if found else record), found


def _bytes(path: Path) -> bytes:
    """A file's bytes; none where the disk refuses them."""
    try:
        return path.read_bytes()
    except OSError:
        return b""
