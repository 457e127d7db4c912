"""The records that a command is pointed at."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..record.inputs import RECORD_FILE

if TYPE_CHECKING:
    pass


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
            files = [own] if own.is_file() else sorted(path.glob(f"**/{RECORD_FILE}"))
            yield from ((str(file), _bytes(file), file.parent) for file in files)
            if not files:
                yield str(path), None, path
        else:
            yield written, _bytes(path), path.parent


def _bytes(path: Path) -> bytes | None:
    """A file's bytes, as far as a record may be long; None where there is no such file."""
    try:
        with path.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except (OSError, ValueError):
        return None
