"""The records that a command is pointed at."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.encoding import MAX_BYTES
from ..record.inputs import RECORD_FILE
from ..record.set_files import MISSING, Refusal, read
from .streams import NO_INPUT, standard_input

if TYPE_CHECKING:
    from ..build.found_sets import FoundSets


def records(paths: Sequence[str]) -> Iterator[tuple[str, bytes | Refusal, Path]]:
    """Each record file's shown name, its bytes or why there are none, and its folder."""
    for written in paths:
        path = Path(written)
        if written == "-":
            data = standard_input(MAX_BYTES)
            yield "<stdin>", MISSING if data is NO_INPUT else data, Path(".")
        elif is_folder(path):
            own = path / RECORD_FILE
            files = [own] if os.path.lexists(own) else [folder / RECORD_FILE for folder in found_in(path).sets]
            yield from ((str(file), read(file, file.parent, MAX_BYTES), file.parent) for file in files)
            if not files:
                yield str(path), MISSING, path
        else:
            yield written, read(path, path.parent, MAX_BYTES), path.parent


def found_in(path: Path) -> FoundSets:
    """The sets in a folder of sets, and what only looks like one; none in a set's own folder."""
    from ..build.found_sets import FoundSets, find_sets

    return find_sets(path, str(path)) if is_folder(path) and not os.path.lexists(path / RECORD_FILE) else FoundSets()


def is_folder(path: Path) -> bool:
    """Whether a folder lies at `path`; False also for a name that no disk can hold."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def root_in(paths: Sequence[str]) -> str | None:
    """The first of the paths that is the root of a disk, or a link to it: no folder of sets, and without end."""
    return next((path for path in paths if path != "-" and any(map(_is_root, _ways(path)))), None)


def _ways(path: str) -> Iterator[str]:
    """The path from the root, as it is written and as it is with all links followed."""
    yield os.path.abspath(path)
    with suppress(OSError, ValueError):
        yield os.path.realpath(path)


def _is_root(way: str) -> bool:
    return os.path.dirname(way) == way
