"""One file of the writer's changed as a whole: by one command at a time, or not at all."""

from __future__ import annotations

import contextlib
import os
import stat
import time
from collections.abc import Iterator
from pathlib import Path

from ..record.plain_files import NOT_FOLLOWED
from ..record.set_files import read

_PATIENCE = 20.0
"""Seconds that a command waits for another one."""
_PAUSE = 0.02


class NotWrittenError(Exception):
    """A file cannot be changed; the text says which and why."""


class Unfinished:
    """The file that will take the place of ``path``. While it is there, no other command changes that."""

    def __init__(self, path: Path, beside: Path, descriptor: int) -> None:
        self._path = path
        self._beside = beside
        self._descriptor = descriptor
        self._is_there = True

    def take_its_place(self, before: bytes, after: bytes) -> bool:
        """Put ``after`` in place of ``before``; False where the file has been changed by something else meanwhile.

        A program that writes the file in the moment between the last look and the exchange is not noticed.
        Raises NotWrittenError; the file is then as it was.
        """
        try:
            with os.fdopen(os.dup(self._descriptor), "wb") as file:
                file.write(after)
                file.flush()
                _wear_its_marks(self._path, file.fileno())
                os.fsync(file.fileno())
            if read(self._path, self._path.parent, len(before)) != before:
                return False
            os.replace(self._beside, self._path)
            self._is_there = False
        except OSError as error:
            raise NotWrittenError(f"{self._path}: cannot be written: {error.strerror or error}") from None
        _keep_the_name(self._path.parent)
        return True

    def clear(self) -> None:
        """Take it away, unless it has become the file."""
        os.close(self._descriptor)
        if self._is_there:
            self._beside.unlink(missing_ok=True)


@contextlib.contextmanager
def alone_with(path: Path, patience: float = _PATIENCE) -> Iterator[Unfinished]:
    """The file that may take the place of ``path``, once no other command is changing it.

    ``patience`` is how many seconds it waits. Raises NotWrittenError where another does not finish, where ``path`` is a
    link, and where it or its folder may not be written.
    """
    if path.is_symlink():
        raise NotWrittenError(f"{path}: found a link; expected the record itself; name the file it leads to")
    if not _may_be_written(path):
        raise NotWrittenError(f"{path}: found a file that may not be written; change its permissions first")
    beside = path.with_name(f".{path.name}.adding")
    unfinished = Unfinished(path, beside, _made(beside, path, time.monotonic() + patience))
    try:
        yield unfinished
    finally:
        unfinished.clear()


def _made(beside: Path, path: Path, until: float) -> int:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | NOT_FOLLOWED | getattr(os, "O_BINARY", 0)
    while True:
        try:
            return os.open(beside, flags, 0o600)
        except FileExistsError:
            if time.monotonic() > until:
                told = f"{path}: another command is changing it; if none is, delete {beside.name} beside it"
                raise NotWrittenError(told) from None
            time.sleep(_PAUSE)
        except OSError as error:
            raise NotWrittenError(f"{path}: cannot be written: {error.strerror or error}") from None


def _may_be_written(path: Path) -> bool:
    try:
        return bool(os.stat(path).st_mode & 0o222) and os.access(path, os.W_OK)
    except (OSError, ValueError):
        return True  # what is not there is told by whoever reads it


def _wear_its_marks(path: Path, descriptor: int) -> None:
    """The mode and, where this user may, the owner of the file that is replaced."""
    now = os.stat(path)
    if hasattr(os, "fchown"):
        with contextlib.suppress(OSError):
            os.fchown(descriptor, now.st_uid, now.st_gid)
    if hasattr(os, "fchmod"):
        os.fchmod(descriptor, stat.S_IMODE(now.st_mode))


def _keep_the_name(folder: Path) -> None:
    """The exchange of names is on the disk too, where the system can say so."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
