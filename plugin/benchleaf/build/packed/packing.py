"""One set's folder made into one file: what is published of it, and nothing that is private."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from ...record.encoding import decode
from ...record.handed_on import NotHandedOnError, private_values, without_private_lines
from ...record.problems import Problem, quoted
from ...record.set_files import Refusal, read
from ...record.slips import At, Slips
from ...record.story_files import is_story_file
from ..follow import References, look_over
from ..one_set import examined_record, read_inputs
from ..own_table import own_files
from ..paths import real_path
from ..photos.originals import MOST_BYTES, PhotoProblem, steps
from .container import PICTURES, Pack, UnfitPackError, written
from .manifest import DATA, RECORD, SET, Manifest, sum_of, unfit_set_name
from .plain_story import plain_story
from .plain_table import plain_table
from .portable_names import twice, unfit_path
from .readme import licence_text, readme_text
from .to_be_told import remarks

if TYPE_CHECKING:
    from ...pages.set_page import Choices
    from ...record.model import Record

_RENAME = "rename it, and where it is named"


@dataclass(frozen=True)
class Packed:
    """The file, empty where there is none to be had; what keeps it from being made, or from being whole; remarks."""

    data: bytes = field(default=b"", repr=False)
    name: str = ""
    problems: tuple[Problem, ...] = ()
    remarks: tuple[str, ...] = ()


def packed(folder: Path, shown: str, choices: Choices, *, draft: bool) -> Packed:
    """The set in ``folder``, shown to its writer as ``shown``, as one file.

    A record with a line that cannot be read is not handed on: what stands there may be private.
    """
    data = read(folder / RECORD, folder)
    file = f"{shown}/{RECORD}"
    if isinstance(data, Refusal):
        return Packed(problems=(data.problem(file),))
    looked = look_over(data, folder, file, own_files(folder)[0], choices.manner)
    found = looked.references
    if found is None or looked.unread:
        return Packed(problems=looked.problems)
    slips = Slips(file)
    try:
        record_text = without_private_lines(data)
    except NotHandedOnError as error:
        slips.add(At(error.place), "", error.found, "what can be handed on", error.remedy)
        return Packed(problems=slips.problems())
    record = found.circuit.record
    files = {RECORD: record_text.encode(), **dict(_stories(folder, slips)), **dict(_tables(found, folder, slips))}
    texts = {name: (decode(made, name)[0], _source(folder, name)) for name, made in files.items()}
    files |= dict(_pictures(found, folder, slips))
    if double := twice(files):
        slips.add(None, "", f"{quoted(double, 80)}, a name that another file has on some systems", "two names", _RENAME)
        return Packed(problems=slips.problems())
    examined, _ = examined_record(record_text.encode(), folder, file, choices)
    of_data = _data(examined) if examined else {}
    name = _name(folder)
    pack = _pack(name, record, files, of_data, choices, draft=draft)
    try:
        made = written(pack)
    except UnfitPackError as error:
        slips.add(None, "", error.found, "a set that can be taken in again", "leave out what it need not have")
        return Packed(problems=slips.problems())
    told = tuple(remarks(name, record, texts, private_values(data), draft=draft))
    return Packed(made, name, tuple(sorted({*looked.problems, *slips.problems()})), told)


def _source(folder: Path, name: str) -> str:
    """The text that a text of the pack is made from."""
    data = read(folder / name, folder)
    return decode(data, name)[0] if isinstance(data, bytes) else ""


def _name(folder: Path) -> str:
    """What the set's folder is called where it is taken in: as here, as far as every system can."""
    name = real_path(folder).name
    if not unfit_set_name(name):
        return name
    plain = re.sub(r"[^\w-]+", "-", name).strip("-_")[:60]
    return plain if plain and not unfit_set_name(plain) else "set"


def _pack(
    name: str,
    record: Record,
    files: Mapping[str, bytes],
    of_data: Mapping[str, bytes],
    choices: Choices,
    *,
    draft: bool,
) -> Pack:
    licence = str(record.licence or "")
    pictures = {
        "/".join(steps(str(file))): str(photo.licence)
        for photo in record.photos.values()
        if photo.licence
        for file in photo.files().values()
    }
    whose = (str(record.maker), str(record.model))
    content = {f"{SET}{path}": data for path, data in files.items()}
    content |= {f"{DATA}{path}": data for path, data in of_data.items()}
    content["README.txt"] = readme_text(*whose, name)
    if licence or pictures:
        content["LICENCE.txt"] = licence_text(*whose, str(record.by or ""), licence, pictures)
    sums = {path: sum_of(data) for path, data in content.items()}
    manifest = Manifest(name, *whose, choices.dialect, choices.slash_dates, licence, draft, pictures, sums)
    return Pack(manifest, content)


def _data(examined: object) -> dict[str, bytes]:
    from ...chapters.examine import Examined
    from ...pages.takeaway import json_text, parts_csv

    assert isinstance(examined, Examined)
    parts = {"parts.csv": parts_csv(examined).encode()} if examined.findings["parts"] is not None else {}
    return {"record.json": json_text(examined).encode(), **parts}


def _stories(folder: Path, slips: Slips) -> Iterator[tuple[str, bytes]]:
    inputs = read_inputs(folder)
    slips.add_problems(inputs.refused)
    for name, data in inputs.story:
        label = f"{inputs.label}/{name}"
        text, problems = decode(data, label)
        slips.add_problems(problems)
        told = unfit_path(name)
        if problems or told:
            _left_out(slips, name, told)
            continue
        plain, unclosed = plain_story(text)
        if unclosed:
            beside = Slips(label)
            beside.add(
                At(unclosed), "", "a comment that is not closed", "“-->” at its end", "close it; the rest is left out"
            )
            slips.add_problems(beside.problems())
        yield name, plain.encode()


def _left_out(slips: Slips, name: str, told: str) -> None:
    if told:
        slips.add(None, "", told, "a name that every system can hold", f"rename {quoted(name, 80)}")


def _tables(found: References, folder: Path, slips: Slips) -> Iterator[tuple[str, bytes]]:
    for run_name, path in found.tables.items():
        run = next(run for name, run in found.circuit.record.readings.items() if str(name) == run_name)
        written_as, data = str(run.table), read(path, folder)
        told = unfit_path(written_as)
        plain = plain_table(data, written_as) if isinstance(data, bytes) and not told else None
        if plain is None:
            found_, remedy = told or f"{quoted(written_as, 80)}, of which not every row can be handed on", _RENAME
            slips.add(run.table, f"readings.{run_name}", found_, "a table with readings alone", remedy)
        else:
            yield written_as, plain


def _pictures(found: References, folder: Path, slips: Slips) -> Iterator[tuple[str, bytes]]:
    """Each picture that the record names, bare, by its path below the set's folder."""
    from ..photos.preparing import bare_copy

    for name, photo in found.circuit.record.photos.items():
        for file in photo.files().values():
            if str(file) not in found.photos:
                continue
            path = "/".join(steps(str(file)))
            if told := unfit_path(path) or _unfit_picture(path):
                slips.add(file, f"photos.{name}", told, "a name that every system can hold", _RENAME)
                continue
            content = read(found.photos[str(file)], folder, MOST_BYTES)
            made = bare_copy(content) if isinstance(content, bytes) else None
            if isinstance(made, bytes):
                yield path, made
            elif isinstance(made, PhotoProblem):
                slips.add(file, f"photos.{name}", made.found, made.expected, made.remedy)


def _unfit_picture(path: str) -> str:
    fits = path.casefold().endswith(PICTURES) and not is_story_file(path)
    return "" if fits else f"{quoted(path, 80)}, which is not called as a picture is"
