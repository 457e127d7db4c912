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

if TYPE_CHECKING:
    from ..record.model import Record


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
    """The sets whose readings are used, by the name of their folder, and the record of each."""
    for run_name, run in record.readings.items():
        if not run.from_:
            continue
        named = run.from_.cut(0, len(run.from_.split(",")[0]))
        field = f"readings.{run_name}.from"
        path = folder.resolve().parent / named / RECORD_FILE
        if not re.fullmatch(r"[\w.-]{1,100}", named) or named in (".", "..") or not path.is_file():
            others = tuple(sorted(p.parent.name for p in folder.resolve().parent.glob(f"*/{RECORD_FILE}")))
            remedy = Nearest(str(named), others, "write its name as it stands on the disk")
            slips.add(named, field, quoted(named), "the folder of another set, beside this one", remedy)
        elif named == folder.resolve().name:
            slips.add(named, field, f"{quoted(named)}, this set itself", "the folder of another set, beside this one")
        else:
            yield str(named), path


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
