"""Sets shared out among processes, one for each core; a process that dies takes no other set with it.

Each process has a pipe of its own, and nothing is shared or locked. In the pool of the standard library all processes
write into one pipe: where one is killed in the middle of a page, the parent waits for its end for ever, as the others
hold that pipe open too.
"""

from __future__ import annotations

import sys
from collections import deque
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, as_completed
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing import connection, get_context
from multiprocessing.context import BaseContext
from os import cpu_count
from pathlib import Path
from typing import Any

from ..pages.set_page import SetPage
from .failure import failed_page, told
from .garbage import search_seldom
from .whereabouts import SetsFolder

_Make = Callable[[Path], SetPage]
_MOST = 60
"""Processes at once: Windows can wait for no more pipes."""
_ATTEMPTS = 3
"""A process may be killed as it is started; so often another is tried."""


def shared_out(
    folders: Sequence[Path], make: _Make, sets: SetsFolder | None = None, executor: Executor | None = None
) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page, as they are finished.

    A set whose process dies is made once more when the others are done, in a process of its own: the one that kills
    that too is known by it. An ``executor`` that is given is left running; what it does not bring back is made once
    more in the same way.
    """
    if executor:
        made = _by_executor(folders, make, executor, sets)
    else:
        made = _by_workers(folders, make, min(cpu_count() or 1, _MOST), sets)
    for folder in (yield from _left(folders, made)):
        yield folder, _alone(folder, make, sets)


def _left(
    folders: Sequence[Path], made: Iterator[tuple[Path, SetPage]]
) -> Generator[tuple[Path, SetPage], None, list[Path]]:
    """Passes on what is made; returns the sets that are not."""
    finished = set()
    for folder, page in made:
        finished.add(folder)
        yield folder, page
    return [folder for folder in folders if folder not in finished]


def _by_executor(
    folders: Sequence[Path], make: _Make, executor: Executor, sets: SetsFolder | None
) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page until all are made or the executor breaks.

    A process that dies while it is started breaks the pipe to it; what the others have is then made once more.
    """
    try:
        waiting = {executor.submit(make, folder): folder for folder in folders}
    except (BrokenExecutor, OSError):
        return
    for future in as_completed(waiting):
        error = future.exception()
        if isinstance(error, BrokenExecutor):
            continue
        folder = waiting[future]
        yield folder, failed_page(folder, told(error), sets) if error else future.result()


def _alone(folder: Path, make: _Make, sets: SetsFolder | None) -> SetPage:
    """The page of a set that was in the hands of a process as it died."""
    for _, page in _by_workers([folder], make, 1, sets):
        return page
    return failed_page(folder, "the process that worked on it ended before it was done", sets)


@dataclass
class _Worker:
    """A process that makes one set after the other, our end of the pipe to it, and the set that it has in hand."""

    process: Any
    pipe: connection.Connection
    folder: Path

    def give(self, folder: Path) -> None:
        """Let it make this set; where it is dead, that shows when its page is asked for."""
        self.folder = folder
        try:
            self.pipe.send(folder)
        except OSError:
            return

    def end(self) -> None:
        """End it, whatever it does: nothing of it is waited for any more."""
        self.pipe.close()
        self.process.kill()
        self.process.join()


def _by_workers(
    folders: Sequence[Path], make: _Make, most: int, sets: SetsFolder | None
) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page, made by up to so many processes; a set whose process dies is left out.

    Where no process can be started at all this one makes the sets.
    """
    waiting, workers = deque(folders), list[_Worker]()
    try:
        while waiting or workers:
            while waiting and len(workers) < most and (worker := _started(make, waiting[0])):
                workers.append(worker)
                waiting.popleft()
            if not workers:
                first = waiting.popleft()
                yield first, _page(first, _made(make, first), sets)
                continue
            ready = connection.wait([worker.pipe for worker in workers])
            for worker in [worker for worker in workers if worker.pipe in ready]:
                folder, made = worker.folder, _received(worker.pipe)
                if waiting and made is not None:
                    worker.give(waiting.popleft())
                else:
                    workers.remove(worker)
                    worker.end()
                if made is not None:
                    yield folder, _page(folder, made, sets)
    finally:
        for worker in workers:
            worker.end()


def _received(pipe: connection.Connection) -> SetPage | str | None:
    """The page that a process has made, or what kept it from being; None where it died, be it in the midst of it."""
    try:
        received: SetPage | str = pipe.recv()
    except (EOFError, OSError):
        return None
    return received


def _started(make: _Make, folder: Path) -> _Worker | None:
    """A process that makes this set and, once it has, others; None where none can be started."""
    context = _context()
    for _ in range(_ATTEMPTS):
        ours, theirs = connection.Pipe()
        process = context.Process(target=_serve, args=(theirs, make), daemon=True)  # type: ignore[attr-defined]
        try:
            process.start()
        except (EOFError, OSError):
            ours.close()
        else:
            worker = _Worker(process, ours, folder)
            worker.give(folder)
            return worker
        finally:
            # Only the process holds that end: it is closed, and our reading at its end, with the process.
            theirs.close()
    return None


def _serve(pipe: connection.Connection, make: _Make) -> None:
    """Makes sets as they come through the pipe until its other end is closed."""
    search_seldom()
    with suppress(EOFError, OSError):
        while True:
            pipe.send(_made(make, pipe.recv()))


def _made(make: _Make, folder: Path) -> SetPage | str:
    """The page of a set, or what is told of the exception that kept it from being made."""
    try:
        return make(folder)
    except Exception as error:
        return told(error)


def _page(folder: Path, made: SetPage | str, sets: SetsFolder | None) -> SetPage:
    return failed_page(folder, made, sets) if isinstance(made, str) else made


def _context() -> BaseContext:
    """How processes are started: not forked from this one, as a live server runs threads, beside which a fork can hang.

    Where it is safe (elsewhere system libraries hold threads) they are forked from one that has everything loaded, so
    that loading is paid for once and not by each.
    """
    if sys.platform != "linux":
        return get_context("spawn")
    server = get_context("forkserver")
    server.set_forkserver_preload([f"{__package__}.ready"])
    return server
