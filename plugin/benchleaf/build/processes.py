"""Sets shared out among processes, one for each core; a process that dies takes no other set with it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from multiprocessing.context import BaseContext
from os import cpu_count
from pathlib import Path

from ..pages.set_page import SetPage
from .failure import failed_page, told
from .garbage import search_seldom
from .whereabouts import SetsFolder

_Make = Callable[[Path], SetPage]


def shared_out(
    folders: Sequence[Path], make: _Make, sets: SetsFolder | None = None, executor: Executor | None = None
) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page, as they are finished.

    Where a process dies, those sets that may have been in its hands are made once more, each in a process of its own:
    the one that kills that too is known by it. Then the others go on. An ``executor`` that is given is left running;
    what it does not bring back is made once more in the same way.
    """
    left = list(folders)
    if executor:
        left = yield from _left(left, _in_parallel(left, make, executor, sets))
        yield from ((folder, _alone(folder, make, sets)) for folder in left)
        return
    while left:
        workers = min(len(left), cpu_count() or 1)
        with _executor(workers) as own:
            left = yield from _left(left, _in_parallel(left, make, own, sets))
        # Sets are handed out in their order: one for each process, as many waiting for them, and one more.
        handed_out = 2 * workers + 1
        yield from ((folder, _alone(folder, make, sets)) for folder in left[:handed_out])
        left = left[handed_out:]


def _left(
    folders: Sequence[Path], made: Iterator[tuple[Path, SetPage]]
) -> Generator[tuple[Path, SetPage], None, list[Path]]:
    """Passes on what is made; returns the sets that are not."""
    finished = set()
    for folder, page in made:
        finished.add(folder)
        yield folder, page
    return [folder for folder in folders if folder not in finished]


def _in_parallel(
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
    with _executor(1) as executor:
        try:
            return executor.submit(make, folder).result()
        except BrokenExecutor:
            return failed_page(folder, "the process that worked on it ended before it was done", sets)
        except Exception as error:
            return failed_page(folder, told(error), sets)


def _executor(workers: int) -> Executor:
    return ProcessPoolExecutor(workers, mp_context=_context(), initializer=search_seldom)


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
