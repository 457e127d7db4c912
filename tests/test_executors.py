"""Sets made by workers that somebody else started: on other machines, or on this one."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from multiprocessing.context import ForkServerProcess
from pathlib import Path
from typing import Any

import pytest
from distributed import Client, LocalCluster

from benchleaf.build import all_sets
from benchleaf.build.all_sets import build_all
from benchleaf.build.cache import Cache
from benchleaf.pages.set_page import Choices, SetPage
from failing import Deadly
from sites import SMALL_RECORD
from warm_builds import FEW, PATIENCE


@pytest.fixture
def folders(tmp_path: Path) -> list[Path]:
    made = [tmp_path / "sets" / name for name in ("a", "b", "c")]
    for folder in made:
        folder.mkdir(parents=True)
        (folder / "record.yml").write_text(SMALL_RECORD.replace("Trial", folder.name), encoding="utf-8")
    return made


def _made(folders: list[Path], executor: Executor | None = None) -> list[SetPage]:
    return build_all(folders, Choices(), Cache(None), executor=executor)


def test_workers_of_a_cluster_make_the_same_pages(folders: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(all_sets, "_FEW", FEW)  # what the cluster makes is held to what this process makes alone
    with (
        LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):
        assert _made(folders, client.get_executor()) == _made(folders)
        assert client.submit(sum, (2, 3)).result() == 5, "it is left running"


def test_what_broken_workers_do_not_bring_back_is_made_all_the_same(folders: list[Path]) -> None:
    folders[1] = Deadly(folders[1])
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        pages = _made(folders, pool)
    assert [page.folder for page in pages] == ["a", "b", "c"]
    assert [bool(page.failures) for page in pages] == [False, True, False]


class _Unstartable(ThreadPoolExecutor):
    """A pool whose second process has died before it was told what to do."""

    def submit(self, *args: Any, **kwargs: Any) -> Future[Any]:
        if self._work_queue.qsize() or self._threads:
            raise BrokenPipeError("the other end is closed")
        return super().submit(*args, **kwargs)


def test_a_process_that_dies_while_it_is_started_costs_no_set(folders: list[Path]) -> None:
    with _Unstartable(1) as pool:
        pages = _made(folders, pool)
    assert [(page.folder, page.failures) for page in pages] == [(name, ()) for name in ("a", "b", "c")]


def test_sets_are_made_where_no_process_can_be_started(folders: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(all_sets, "_FEW", 0)
    monkeypatch.setattr(ForkServerProcess, "start", _refused)
    assert [(page.folder, page.failures) for page in _made(folders)] == [(name, ()) for name in ("a", "b", "c")]


def _refused(process: ForkServerProcess) -> None:
    raise BlockingIOError("there are as many processes as there may be")


_LOADED_LATE = """
import sys
from pathlib import Path
import benchleaf.build.ready
before = set(sys.modules)
from benchleaf.build.all_sets import build_set
from benchleaf.build.cache import Cache
from benchleaf.pages.set_page import Choices
assert not build_set(Path(sys.argv[1]), Choices(), Cache(None)).failures
print(*sorted(set(sys.modules) - before))
"""
_HEAVY = ("benchleaf", "jinja2", "matplotlib", "numpy", "schemdraw", "scipy", "yaml")


def test_nothing_is_loaded_anew_in_a_process_forked_from_the_one_that_is_ready() -> None:
    model = Path(__file__).parents[1] / "site_src/sets/larkfield-minuet-5"
    made = subprocess.run([sys.executable, "-c", _LOADED_LATE, model], capture_output=True, text=True, check=True)
    assert not [name for name in made.stdout.split() if name.partition(".")[0] in _HEAVY]


_ENDING = """
import sys
from pathlib import Path
import failing
from benchleaf.build import all_sets
from benchleaf.build.cache import Cache
from benchleaf.pages.set_page import Choices
all_sets._FEW = 0
folders = [Path(name) for name in sys.argv[2:]]
folders[1] = getattr(failing, sys.argv[1])(folders[1])
pages = all_sets.build_all(folders, Choices(), Cache(None))
print(*(f"{page.folder}: {len(page.failures)}" for page in pages))
"""


@pytest.mark.parametrize("way", ["EndsAsItTells", "EndsAsItAsks"])
def test_a_process_that_is_killed_as_it_tells_or_asks_stops_nothing(way: str, folders: list[Path]) -> None:
    """Half a message stays in the pipe, or a lock stays locked: a pool with one pipe for all waits for ever."""
    ended = subprocess.run(
        [sys.executable, "-c", _ENDING, way, *folders],
        cwd=Path(__file__).parent,
        env={**os.environ, "ENDED_ONCE": str(folders[0].parent / "once")},
        capture_output=True,
        text=True,
        check=False,
        timeout=PATIENCE,
    )
    assert ended.stdout.split("\n")[0] == "a: 0 b: 0 c: 0", ended.stderr
