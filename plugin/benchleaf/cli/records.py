"""The records that a command is pointed at."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.inputs import RECORD_FILE

if TYPE_CHECKING:
    from ..build.found_sets import Found


MAX_BYTES = 1_000_000
"""As much as a record may hold; more of a file is not read."""


def records(paths: Sequence[str]) -> Iterator[tuple[str, bytes | None, Path]]:
    """Each record file's shown name, its bytes (None where there is none), and its folder."""
    for written in paths:
        path = Path(written)
        if written == "-":
            yield "<stdin>", sys.stdin.buffer.read(MAX_BYTES + 1) if sys.stdin else None, Path(".")
        elif path.is_dir():
            own = path / RECORD_FILE
            files = [own] if own.is_file() else [folder / RECORD_FILE for folder in found_in(path).sets]
            yield from ((str(file), _bytes(file), file.parent) for file in files)
            if not files:
                yield str(path), None, path
        else:
            yield written, _bytes(path), path.parent


def found_in(path: Path) -> Found:
    """The sets in a folder of sets, and what only looks like one; none in a set's own folder."""
    from ..build.found_sets import Found, find_sets

    return find_sets(path, str(path)) if path.is_dir() and not (path / RECORD_FILE).is_file() else Found()


def _bytes(path: Path) -> bytes | None:
    """A file's bytes, as far as a record may be long; None where there is no such file."""
    try:
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except (OSError, ValueError):
        return None
