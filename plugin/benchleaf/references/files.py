"""Files a record names: photos, spreadsheets of readings, and the records of other sets."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from ..chapters.photos.originals import PhotoProblem, inside, steps
from ..record.problems import Nearest, quoted
from ..set_files import MISSING, OUTSIDE, Refusal, located, read
from .slips import Slips, near

if TYPE_CHECKING:
    from ..record.model import Record

RECORD_FILE = "record.yml"


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
    """The sets whose readings are used, by the name of their folder, and the record of each."""
    here = folder.resolve()
    for run_name, run in record.readings.items():
        if not run.from_:
            continue
        named = run.from_.cut(0, len(run.from_.split(",")[0]))
        field, wanted = f"readings.{run_name}.from", "the folder of another set, beside this one"
        path = here.parent / named / RECORD_FILE
        is_name = re.fullmatch(r"[\w.-]{1,100}", named) and named not in (".", "..")
        found = located(path, here.parent) if is_name else MISSING
        if is_name and isinstance(found, Refusal):
            slips.miss(here.parent, f"{named}/{RECORD_FILE}")
        if named == here.name:
            slips.add(named, field, f"{quoted(named)}, this set itself", wanted)
        elif isinstance(found, Path):
            yield str(named), path
        elif found is OUTSIDE:
            told = f"{quoted(named)}, a link to somewhere outside the folder of sets"
            slips.add(named, field, told, wanted, found.remedy)
        else:
            others = tuple(sorted(p.parent.name for p in here.parent.glob(f"*/{RECORD_FILE}")))
            remedy = Nearest(str(named), others, "write its name as it stands on the disk")
            slips.add(named, field, quoted(named), wanted, remedy)


def with_tables(record: Record, folder: Path, slips: Slips) -> tuple[Record, dict[str, Path]]:
    """The record with the readings of its spreadsheets put in, and the files by the name of their run."""
    from ..chapters.readings.spreadsheet import read_spreadsheet, unfit_name

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
        runs[name] = run.model_copy(update={"points": points | run.points})
    return (record.model_copy(update={"readings": runs}) if found else record), found
