"""Files put on the disk whole or not at all: several where none is, or one in the place of what is there."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Put:
    """The files that were ``written`` and the ones that were there and ``kept``; or the ``fault`` that kept all out."""

    written: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    fault: str = ""


def put_files(folder: Path, files: Mapping[str, str], *, keep: Collection[str] = ()) -> Put:
    """Write ``files`` by their paths below ``folder``; where one cannot be written, those before it are taken away.

    One that is there already is a fault, unless it is among those to ``keep``.
    """
    made: list[Path] = []
    written: list[str] = []
    kept: list[str] = []
    try:
        for path, text in files.items():
            target = folder / path
            if path in keep and os.path.lexists(target):
                kept.append(path)
                continue
            _make_folder(target.parent, made)
            with target.open("x", encoding="utf-8", errors="replace", newline="\n") as file:
                made.append(target)
                file.write(text)
            written.append(path)
    except (OSError, ValueError) as error:
        _take_away(made)
        return Put(fault=_told(error, folder))
    return Put(tuple(written), tuple(kept))


@contextmanager
def taking_the_place_of(file: Path) -> Iterator[Path]:
    """A new file to write, which takes the place of ``file`` at the end; where that fails, nothing is changed.

    Raises OSError. A link is replaced, not followed.
    """
    handle, name = tempfile.mkstemp(dir=file.absolute().parent, suffix=".part")
    os.close(handle)
    beside = Path(name)
    try:
        yield beside
        beside.chmod(0o644)
        beside.replace(file)
    except BaseException:
        beside.unlink()
        raise


def _make_folder(folder: Path, made: list[Path]) -> None:
    """The folder and those around it, each that was not there noted in ``made``."""
    missing = [f for f in (folder, *folder.parents) if not os.path.lexists(f)]
    for each in reversed(missing):
        each.mkdir()
        made.append(each)
    if not folder.is_dir():
        raise NotADirectoryError(20, "found a file in the way; expected a folder", str(folder))


def _take_away(made: list[Path]) -> None:
    for path in reversed(made):
        with suppress(OSError):
            path.rmdir() if path.is_dir() and not path.is_symlink() else path.unlink()


def _told(error: Exception, folder: Path) -> str:
    where = getattr(error, "filename", None) or folder
    if isinstance(error, FileExistsError):
        return f"{where}: is there already"
    if isinstance(error, NotADirectoryError):
        return f"{where}: found a file in the way; expected a folder"
    return f"{where}: cannot be written: {getattr(error, 'strerror', None) or error}"
