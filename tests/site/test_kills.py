"""A build that is killed, as a whole or one of its workers, leaves nothing behind that a later build believes."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from sites import EPOCH, SMALL_RECORD, build, contents, write_site

NAMES = ("north", "east", "south")
"""As few sets as make a build start workers."""


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What a build that nobody disturbs writes."""
    site = _site(tmp_path_factory.mktemp("whole"))
    assert build(site, "--strict", SOURCE_DATE_EPOCH=EPOCH).returncode == 0
    return contents(site / "site")


def _site(folder: Path) -> Path:
    return write_site(folder, {name: SMALL_RECORD.replace("Trial", name.title()) for name in NAMES})


def _started(site: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-W", "ignore", "-m", "mkdocs", "build", "--strict"],
        cwd=site,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "SOURCE_DATE_EPOCH": EPOCH},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


def _workers(process: subprocess.Popen[bytes]) -> Iterator[int]:
    """What was forked by the server that the build has started for that."""
    for server in _children(process.pid):
        with suppress(OSError):
            if b"multiprocessing.forkserver" in Path(f"/proc/{server}/cmdline").read_bytes():
                yield from _children(server)


def _children(of: int) -> list[int]:
    children = Path(f"/proc/{of}/task/{of}/children")
    return [int(child) for child in children.read_text().split()] if children.exists() else []


def _all_workers(process: subprocess.Popen[bytes]) -> list[int]:
    found: list[int] = []
    while process.poll() is None and len(found := list(_workers(process))) < min(len(NAMES), os.cpu_count() or 1):
        time.sleep(0.05)
    return found


def test_after_any_number_of_kills_a_build_is_whole(
    whole: dict[str, bytes], tmp_path: Path, sampled: Callable[[int], int]
) -> None:
    site, chance = _site(tmp_path), random.Random(1949)
    for _ in range(100 // sampled(50)):
        process = _started(site)
        if chance.random() < 0.7:
            _all_workers(process)
        time.sleep(chance.uniform(0, 1.5))
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        assert process.wait() in {0, -signal.SIGKILL}
    result = build(site, "--strict", SOURCE_DATE_EPOCH=EPOCH)
    assert result.returncode == 0, result.stderr
    assert contents(site / "site") == whole


def test_a_worker_that_is_killed_costs_no_set(
    whole: dict[str, bytes], tmp_path: Path, sampled: Callable[[int], int]
) -> None:
    chance = random.Random(1950)
    for number in range(30 // sampled(30)):
        process = _started(_site(tmp_path / str(number)))
        victim = chance.choice(_all_workers(process))
        time.sleep(chance.uniform(0, 0.5))
        with suppress(ProcessLookupError):
            os.kill(victim, signal.SIGKILL)
        assert process.wait(300) == 0
        assert contents(tmp_path / str(number) / "site") == whole
