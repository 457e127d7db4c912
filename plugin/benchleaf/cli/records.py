"""The records that a command is pointed at."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.encoding import MAX_BYTES
from ..record.inputs import RECORD_FILE
from ..record.set_files import MISSING, Refusal, read

if TYPE_CHECKING:
    from ..build.found_sets import FoundSets


def records(paths: Sequence[str]) -> Iterator[tuple[str, bytes | Refusal, Path]]:
    """Each record file's shown name, its bytes or why there are none, and its folder."""
    for written in paths:
        path = Path(written)
        if written == "-":
            yield "<stdin>", sys.stdin.buffer.read(MAX_BYTES + 1) if sys.stdin else MISSING, Path(".")
        elif path.is_dir():
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

    return find_sets(path, str(path)) if path.is_dir() and not os.path.lexists(path / RECORD_FILE) else FoundSets()
