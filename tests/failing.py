"""Sets that stop what works on them, importable in a process that a test did not start."""

from __future__ import annotations

import multiprocessing
import os
import signal
from multiprocessing.connection import Connection
from pathlib import Path

_HEADER = 8
"""Bytes of the length that goes before a message."""


class Deadly(type(Path())):  # type: ignore[misc]
    """A folder whose files end any process that a build started to read them."""

    def __fspath__(self) -> str:
        """The path as the system takes it, in the process that nobody started alone."""
        if multiprocessing.parent_process() is not None:
            os._exit(1)
        return super().__fspath__()


class _Ending(type(Path())):  # type: ignore[misc]
    """A folder whose files, read in a process that a build started, change how that ends; only the first one."""

    def __fspath__(self) -> str:
        """The path as the system takes it."""
        once = os.environ["ENDED_ONCE"]
        if multiprocessing.parent_process() is not None and not os.path.exists(once):
            os.mkdir(once)
            self.end()
        return super().__fspath__()


class EndsAsItTells(_Ending):
    """The process is killed when it has written half of what it made."""

    @staticmethod
    def end() -> None:
        """Let the next message end in its middle."""

        def half(self: Connection, message: bytes) -> None:
            if len(message) > _HEADER:
                os.write(self.fileno(), message[: len(message) // 2])
                os.kill(os.getpid(), signal.SIGKILL)
            os.write(self.fileno(), message)

        Connection._send = half  # type: ignore[attr-defined]


class EndsAsItAsks(_Ending):
    """The process is killed when it has been given the next set and not read it: whatever is locked then stays so."""

    @staticmethod
    def end() -> None:
        """Let the next reading end in its beginning."""

        def none(self: Connection, size: int) -> None:
            os.kill(os.getpid(), signal.SIGKILL)

        Connection._recv = none  # type: ignore[attr-defined]
