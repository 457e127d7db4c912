"""Files a record names: photos, spreadsheets of readings, and the records of other sets."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from os.path import lexists
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.inputs import RECORD_FILE
from ..record.problems import Nearest, quoted
from ..record.set_files import MISSING, OUTSIDE, Refusal, is_below, located, opened, read
from ..record.slips import Slips, near
from ..record.text import Text
from .paths import real_path
from .photos.originals import PhotoProblem, inside, steps
from .whereabouts import CONFIGURATIONS

if TYPE_CHECKING:
    from ..record.model import Record
    from .cache import Cache

MOST_READ = 800
"""Values read at all places in all lists of readings together: fifteen lists of a large console."""
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
                slips.miss(folder, "/".join(steps(str(file))))
            else:
                yield str(file), found


def neighbours(record: Record, folder: Path, slips: Slips) -> Iterator[tuple[str, Path]]:
    """The sets whose readings are used, by the name they are called by, and the record of each.

    A set beside this one is called by its folder; one of another member by its way from the folder of the sets.
    """
    home = real_path(folder)
    for run_name, run in record.readings.items():
        if not run.from_:
            continue
        named = run.from_.cut(0, len(run.from_.split(",")[0]))
        field, wanted = f"readings.{run_name}.from", "the folder of another set, beside this one"
        path = _neighbour(home, str(named))
        found = located(path, path.parent.parent) if path else MISSING
        if path is not None and isinstance(found, Refusal):
            slips.miss(path.parent.parent, f"{path.parent.name}/{RECORD_FILE}")
        if path is not None and path.parent == home:
            slips.add(named, field, f"{quoted(named)}, this set itself", wanted)
        elif path is not None and isinstance(found, Path):
            yield str(named), path
        elif found is OUTSIDE:
            told = f"{quoted(named)}, a link to somewhere outside the folder of sets"
            slips.add(named, field, told, wanted, found.remedy)
        else:
            remedy = Nearest(str(named), _sets_around(home), "write its name as it stands on the disk")
            slips.add(named, field, quoted(named), wanted, remedy)


def _neighbour(home: Path, named: str) -> Path | None:
    """Where the record of the set called so lies, seen from ``home``: beside it, further out for a name with a slash.

    Where there is none, where it would lie; None for what is no name of a folder.
    """
    parts = named.split("/")
    if not all(re.fullmatch(r"[\w.-]{1,100}", part) and part not in (".", "..") for part in parts):
        return None
    around = [home.parent] if len(parts) == 1 else _around(home)
    paths = [folder / named / RECORD_FILE for folder in around]
    return next((path for path in paths if lexists(path)), paths[0])


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
    from ..record.spreadsheet import notes_in, read_spreadsheet, unfit_name

    runs, found = dict(record.readings), {}
    for name, run in record.readings.items():
        if not run.table:
            continue
        path = folder / run.table
        data = unfit_name(str(run.table)) or read(path, folder)
        if isinstance(data, Refusal):
            known = near(run.table, sorted(table.name for table in folder.glob("*.csv")))
            remedy = data.remedy if data is not MISSING and data.remedy else known
            expected = "a spreadsheet in the set's folder, such as “readings.csv”"
            slips.add(run.table, f"readings.{name}.table", f"{quoted(run.table)}, {data.found}", expected, remedy)
            slips.miss(folder, str(run.table))
            continue
        found[str(name)] = path
        points, problems = read_spreadsheet(data, str(Path(slips.file).with_name(path.name)))
        slips.add_problems(problems)
        noted = "; ".join(note for note in (str(run.note or ""), notes_in(data, path.name)) if note)
        more = {"note": Text(noted).like(run.table)} if noted else {}
        runs[name] = run.model_copy(update={"points": points | run.points, **more})
    return _within(record.model_copy(update={"readings": runs}) if found else record, slips), found


def _within(record: Record, slips: Slips) -> Record:
    """The record with as many lists of readings as all of it can be worked out for; of the others it is told."""
    left = MOST_READ
    runs = {}
    for name, run in record.readings.items():
        left -= sum(map(len, (*run.points.values(), *run.resistance.values())))
        if left < 0:
            found = f"more than {MOST_READ} values read in all lists together"
            slips.add(
                name, f"readings.{name}", found, f"at most {MOST_READ}", "leave out a list that tells nothing new"
            )
            left = 0
        else:
            runs[name] = run
    return record if len(runs) == len(record.readings) else record.model_copy(update={"readings": runs})


def digest(folder: Path, path: str, cache: Cache) -> str | None:
    """The hash of the content of a file that the record in ``folder`` names, as `Cache.digest` gives it.

    ``path`` leads from the folder to a file of its own, or by ``../`` to a neighbour's. None for a file that would not
    be read.
    """
    outward = re.match(r"(?:\.\./)*", path)
    up = len(outward[0]) // 3 if outward else 0
    if not is_below(path[3 * up :]) or up > _MEMBERS_DEEP:
        return None
    root = (folder, *folder.parents)[up] if up <= len(folder.parents) else folder
    with opened(folder / path, root) as file:
        return None if isinstance(file, Refusal) else cache.digest(file, Path(os.path.realpath(folder / path)))
