"""The command ``unpack``: a set that was handed on, taken in."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from ..record.inputs import RECORD_FILE
from ..record.set_files import Refusal, opened
from .records import is_folder
from .status import CLEAN, PROBLEMS, USAGE
from .streams import NO_INPUT, say, standard_input

if TYPE_CHECKING:
    import argparse

    from ..build.packed.manifest import Manifest


def add_to(commands: Any) -> None:
    """Adds ``unpack`` to the parser's commands."""
    unpack = commands.add_parser("unpack", help="a set that was handed on, put into a folder of its own")
    unpack.add_argument("file", metavar="FILE", help="what “benchleaf pack” made, or - for stdin")
    unpack.add_argument("--into", type=Path, metavar="FOLDER", help="the folder to make; left out, by the set's name")
    unpack.set_defaults(run=_unpack)


def _unpack(given: argparse.Namespace) -> int:
    from ..build.packed.container import UnfitPackError, read_pack
    from ..build.packed.unpacking import NotPutError, files_of_set, put_set

    try:
        with packed_file(given.file) as stream:
            if isinstance(stream, Refusal):
                say(f"{given.file}: found {stream.found}; expected a file that “benchleaf pack” made")
                return USAGE
            pack = read_pack(stream)
        files = files_of_set(pack)
    except UnfitPackError as error:
        say(f"{given.file}: {error}; nothing was written")
        return PROBLEMS
    target = given.into or _home() / pack.manifest.name
    try:
        put_set(files, target)
    except NotPutError as error:
        say(f"{error}; write “--into” and another folder" if given.into is None else error)
        return USAGE
    say(f"{target}: written, {len(files)} file{'s' if len(files) > 1 else ''}")
    return _told_of(target, pack.manifest)


@contextmanager
def packed_file(name: str) -> Iterator[IO[bytes] | Refusal]:
    """The file by its name, or standard input for ``-``; or why it is not read."""
    from ..build.packed.container import MOST_BYTES

    if name == "-":
        data = standard_input(MOST_BYTES)
        yield NO_INPUT if isinstance(data, Refusal) else io.BytesIO(data)
        return
    path = Path(name)
    with opened(path, path.parent) as found:
        if isinstance(found, Refusal):
            yield found
        else:
            with os.fdopen(found, "rb", closefd=False) as stream:
                yield stream


def _home() -> Path:
    """Where a set is put: among the sets of the site around this folder; in the folder itself where there is none."""
    from .site_options import sets_around

    here = Path(".")
    sets = sets_around(here)
    if sets is None or here.absolute().is_relative_to(sets):
        return here
    return Path(os.path.relpath(sets, here.absolute()))


def _told_of(target: Path, manifest: Manifest) -> int:
    """What ``check`` tells of the set where it lies now, and what was otherwise where it came from."""
    from ..record.set_files import read
    from .looked_over import problems_in
    from .site_options import dialect_of_site, manner_of_site
    from .starting import advice

    file = target / RECORD_FILE
    data = read(file, target)
    problems = [data.problem(str(file))] if isinstance(data, Refusal) else problems_in(data, target, str(file))
    for problem in problems:
        say(problem)
    if manifest.licence:
        say(f"its licence: {manifest.licence}")
    else:
        say("no licence is stated: ask whose record it is before you publish it")
    if (manifest.dialect, manifest.slash_dates) != (dialect_of_site(target), manner_of_site(target).slash_dates):
        options = (
            f"dialect: {manifest.dialect}{f', slash_dates: {manifest.slash_dates}' if manifest.slash_dates else ''}"
        )
        say(f"its own site reads records with “{options}”; look over numbers and dates that are read another way here")
    if manifest.draft:
        pattern = f"/sets/{target.name}/"
        say(f"it is a draft where it comes from; to keep it one here, write {pattern} under draft_docs in mkdocs.yml")
    if is_folder(target) and (told := advice(target)):
        say(told)
    return PROBLEMS if problems else CLEAN
