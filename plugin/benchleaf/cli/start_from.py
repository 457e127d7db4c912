"""The command ``start-from``: a record of the same chassis from a published record or parts list."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from ..record.inputs import RECORD_FILE
from ..record.set_files import Refusal, read
from .status import CLEAN, PROBLEMS, USAGE
from .streams import say
from .unpack import packed_file

if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence

    from ..record.manner import Manner
    from ..record.problems import Problem


@dataclass(frozen=True)
class _TakenOver:
    """What was taken out of a file: the lines of a record, and whose record they come from.

    ``problems`` are those of the file; ``fit`` is False where nothing could be taken because of them.
    """

    lines: str = ""
    maker: str = ""
    model: str = ""
    problems: Sequence[Problem] = ()
    fit: bool = True

    @property
    def name(self) -> str:
        """Whose record it is, for a comment."""
        whose = " ".join(f"{self.maker} {self.model}".split())
        return f"the record of the {whose}" if whose else "a published parts list"


def add_to(commands: Any) -> None:
    """Adds ``start-from`` to the parser's commands."""
    start = commands.add_parser("start-from", help="a record of the same chassis, from a published record or its parts")
    start.add_argument("file", type=Path, metavar="FILE", help="record.json, record.yml, parts.csv or a packed set")
    start.add_argument("folder", type=Path, metavar="FOLDER")
    start.add_argument("--maker", help="left out, that of FILE")
    start.add_argument("--model", help="left out, that of FILE")
    start.add_argument(
        "--everything", action="store_true", help="of parts.csv, also what was found, measured and fitted there"
    )
    start.set_defaults(run=_start_from)


def _start_from(given: argparse.Namespace) -> int:
    from ..build.follow import look_over
    from ..build.own_table import own_files
    from .new import maker_of, model_of
    from .site_options import manner_of_site
    from .starting import advice, put_record, schema_above

    folder, target = given.folder, given.folder / RECORD_FILE
    data = read(given.file, given.file.parent)
    if isinstance(data, Refusal):
        say(data.problem(str(given.file)))
        return USAGE
    kind = _kind(given.file, data)
    if given.everything and kind != ".csv":
        say("--everything: found another file than a parts list; expected parts.csv with it; leave it out")
        return USAGE
    source = _READERS[kind](data, str(given.file), given)
    for problem in source.problems:
        say(problem.public())
    if not source.fit:
        return PROBLEMS
    maker = maker_of(source.maker or None) if given.maker is None else given.maker
    model = model_of(source.model or None, folder) if given.model is None else given.model
    text = _text(source, maker, model, schema_above(folder))
    looked = look_over(text.encode(), folder, str(target), own_files(folder)[0], manner_of_site(folder))
    if looked.references is None:
        for problem in looked.problems:
            say(problem.public())
        return PROBLEMS
    if fault := put_record(folder, text):
        say(f"{fault}; nothing was changed")
        return USAGE
    # A parts list says nothing of the tubes that its places name.
    left = looked.unread if kind == ".csv" else looked.problems
    for problem in left:
        say(problem.public())
    say(f"{target}: written from {given.file}; every part in it is still to be looked at")
    told = advice(folder)
    if told:
        say(told)
    return PROBLEMS if source.problems or left else CLEAN


def _text(source: _TakenOver, maker: str, model: str, schema: str) -> str:
    from .starter import in_yaml

    lines = [f"# yaml-language-server: $schema={schema}"] if schema else []
    lines += [f"# Started from {source.name}: what sets of one chassis share."]
    lines += ["# What this set is like is still to be written: look at each part, and read each voltage yourself."]
    lines += [f"maker: {in_yaml(maker)}", f"model: {in_yaml(model)}", "state: on the bench"]
    return "\n".join(lines) + "\n" + source.lines


def _kind(file: Path, data: bytes) -> str:
    """What a file holds, by its name; of one by another name, by how it begins."""
    suffix = file.suffix.casefold()
    if data.startswith(b"PK\3\4"):
        return _PACKED
    if suffix in _READERS:
        return suffix
    return ".json" if data.removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"{" else ".yml"


def _from_parts_list(data: bytes, file: str, given: argparse.Namespace) -> _TakenOver:
    from ..chapters.parts.parts_read import read_parts_list

    lines, problems = read_parts_list(data, file, whole=given.everything)
    return _TakenOver(lines, problems=problems, fit=not problems)


def _from_json(data: bytes, file: str, given: argparse.Namespace) -> _TakenOver:
    from ..chapters.examine import RECORD_JSON_VERSION
    from ..record.same_chassis.chassis import same_chassis
    from ..record.same_chassis.given import Given
    from ..record.slips import Slips

    slips = Slips(file)
    try:
        found = Given.of(json.loads(data))
    except (ValueError, RecursionError):
        slips.add(None, "record.json", "text that is no JSON", "a record.json as published")
        return _TakenOver(problems=slips.problems(), fit=False)
    kind, version = found.text("format"), found.table.get("version")
    if kind != "benchleaf-record" or version != RECORD_JSON_VERSION:
        slips.add(
            None, "record.json", "another format or version", f"“benchleaf-record”, version {RECORD_JSON_VERSION}"
        )
        return _TakenOver(problems=slips.problems(), fit=False)
    record = found.inner("record")
    lost = found.table.get("not_understood")
    if isinstance(lost, list) and lost:
        say(f"{file}: {len(lost)} places of its record were not understood; what stood there is not taken over")
    return _TakenOver(same_chassis(record), record.text("maker"), record.text("model"))


def _from_record(data: bytes, file: str, given: argparse.Namespace) -> _TakenOver:
    from .site_options import manner_of_site

    return _record_in(data, file, given.file.parent, manner_of_site(given.file.parent))


def _record_in(data: bytes, file: str, folder: Path, manner: Manner) -> _TakenOver:
    """What a record says that lies in a set's ``folder`` with its tables."""
    from ..build.files import with_tables
    from ..record import read_record
    from ..record.same_chassis.chassis import from_record, same_chassis
    from ..record.slips import Slips

    record, problems = read_record(data, file, manner)
    if record is None:
        return _TakenOver(problems=problems, fit=False)
    record, _ = with_tables(record, folder, Slips(file, record.lost))
    return _TakenOver(same_chassis(from_record(record)), record.maker, record.model, problems)


def _from_pack(data: bytes, file: str, given: argparse.Namespace) -> _TakenOver:
    """The record in a set that was handed on, read as its own site reads it, with its tables of readings."""
    from ..build.packed.container import UnfitPackError, read_pack
    from ..build.packed.unpacking import files_of_set, put_set
    from ..record.manner import Manner
    from ..words import AMERICAN

    try:
        with packed_file(file) as stream:
            pack = None if isinstance(stream, Refusal) else read_pack(stream)
        files = files_of_set(pack) if pack else {}
    except UnfitPackError as error:
        say(f"{file}: {error}")
        return _TakenOver(fit=False)
    if pack is None:
        return _TakenOver(fit=False)
    manner = Manner(american=pack.manifest.dialect == AMERICAN.dialect, slash_dates=pack.manifest.slash_dates)
    with TemporaryDirectory() as beside:
        put_set(files, Path(beside) / "set")
        return _record_in(files[RECORD_FILE], file, Path(beside) / "set", manner)


_PACKED = ".zip"
_READERS = {
    ".csv": _from_parts_list,
    ".json": _from_json,
    ".yml": _from_record,
    ".yaml": _from_record,
    _PACKED: _from_pack,
}
