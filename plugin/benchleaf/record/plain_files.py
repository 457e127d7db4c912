"""Opening a file that may have been put there by a stranger: nothing but an ordinary file, and no link to one."""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

NOT_FOLLOWED: int = getattr(os, "O_NOFOLLOW", 0)
"""Windows has no such flag: there the name is looked at first, which leaves a moment in between."""


@contextlib.contextmanager
def plain_file(path: Path) -> Iterator[int]:
    """A descriptor of the ordinary file `path`, open for reading.

    Raises OSError for anything else, a link among it, and ValueError for a name no disk can hold. Without O_NONBLOCK,
    a named pipe would hold the build for ever.
    """
    if not NOT_FOLLOWED and path.is_symlink():
        raise OSError("a link")
    wanted = os.O_RDONLY | NOT_FOLLOWED | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    descriptor = os.open(path, wanted)
    try:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError("not an ordinary file")
        yield descriptor
    finally:
        os.close(descriptor)


def is_plain_folder(path: Path) -> bool:
    """Whether `path` is a folder itself and no link to one."""
    try:
        return stat.S_ISDIR(os.lstat(path).st_mode)
    except (OSError, ValueError):
        return False
