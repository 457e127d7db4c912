"""Sets shared out among processes, one for each core; a process that dies takes no other set with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from os import cpu_count
from pathlib import Path

from ..pages.set_page import SetPage
from .failure import failed_page, told
from .whereabouts import SetsFolder

_Make = Callable[[Path], SetPage]


def shared_out(folders: Sequence[Path], make: _Make, sets: SetsFolder | None = None) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page, as they are finished.

    Where a process dies, those sets that may have been in its hands are made once more, each in a process of its own:
    the one that kills that too is known by it. Then the others go on.
    """
    left = list(folders)
    while left:
        workers = min(len(left), cpu_count() or 1)
        finished = set()
        for folder, page in _in_parallel(left, make, workers, sets):
            finished.add(folder)
            yield folder, page
        left = [folder for folder in left if folder not in finished]
        # Sets are handed out in their order: one for each process, as many waiting for them, and one more.
        handed_out = 2 * workers + 1
        yield from ((folder, _alone(folder, make, sets)) for folder in left[:handed_out])
        left = left[handed_out:]


def _in_parallel(
    folders: Sequence[Path], make: _Make, workers: int, sets: SetsFolder | None
) -> Iterator[tuple[Path, SetPage]]:
    """Each set with its page until all are made or a process dies."""
    with _executor(workers) as executor:
        try:
            waiting = {executor.submit(make, folder): folder for folder in folders}
        except BrokenProcessPool:
            return
        for future in as_completed(waiting):
            error = future.exception()
            if isinstance(error, BrokenProcessPool):
                continue
            folder = waiting[future]
            yield folder, failed_page(folder, told(error), sets) if error else future.result()


def _alone(folder: Path, make: _Make, sets: SetsFolder | None) -> SetPage:
    with _executor(1) as executor:
        try:
            return executor.submit(make, folder).result()
        except BrokenProcessPool:
            return failed_page(folder, "the process that worked on it ended before it was done", sets)
        except Exception as error:
            return failed_page(folder, told(error), sets)


def _executor(workers: int) -> Executor:
    # Spawned, not forked: the site generator's live server runs threads, and a fork beside threads can hang.
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
