"""Tests run in a process forked from one that has the libraries loaded: each run pays for its own work alone."""

from __future__ import annotations

import math
import os
import resource
import select
import signal
import sys
import time
from collections.abc import Callable, Iterable
from importlib import import_module
from pathlib import Path
from typing import NoReturn

import pytest

LIBRARIES = (
    "numpy", "scipy.optimize", "scipy.integrate", "scipy.linalg", "pydantic", "yaml", "jinja2.ext", "markdown", "nh3",
    "PIL.Image", "PIL.ImageDraw", "schemdraw.elements", "matplotlib.figure", "matplotlib.backends.backend_svg",
    "uncertainties", "pint", "hypothesis.strategies", "playwright.sync_api", "jsonschema", "skrf", "eseries", "segno",
)  # fmt: skip
OPTIONS = [
    "-q", "--no-header", "--tb=no", "-p", "no:cacheprovider", "-k", "not chromium and not browser",
    "-W", "ignore:Module already imported:pytest.PytestAssertRewriteWarning",
]  # fmt: skip
"""How tests are asked for here: nothing is kept, and none that needs a browser."""
BY_THE_CLOCK = 20
"""Times the seconds of the processor that a process may stand by the clock, on a machine that does other things too."""


def may_take(seconds: float) -> None:
    """End this process once it has taken so many seconds of the processor."""
    resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(seconds), math.ceil(seconds) + 5))


def load_libraries() -> None:
    """Load what nearly every test loads, but nothing of ours: each run reads that anew."""
    for name in LIBRARIES:
        import_module(name)


class Told:
    """A plugin of pytest that leaves out tests that belong elsewhere, and hands on each as it ends."""

    def __init__(self, wanted: Callable[[str], bool], tell: Callable[[str], None]) -> None:
        self.wanted = wanted
        self.tell = tell
        self.began = time.process_time()

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if self.wanted(item.nodeid)]

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.tell(f"failed {report.nodeid}")
        if report.when == "teardown":
            self.tell(f"{time.process_time() - self.began:.4f} {report.nodeid}")
            self.began = time.process_time()

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.tell(f"failed {report.nodeid}")


def run(
    tree: Path,
    files: Iterable[str],
    patience: float,
    options: Iterable[str] = (),
    wanted: Callable[[str], bool] = lambda _: True,
    plugins: Iterable[object] = (),
) -> tuple[str | None, list[str]]:
    """Run the ``wanted`` tests of files in a tree: the first that failed (None: all passed), and what was told of each.

    ``time`` ended them where they took more of the processor than ``patience``, in seconds: a busy machine catches no
    mutant. What waits for something that never comes is ended after so many times as long by the clock.

    Raises RuntimeError where the tests were ended from outside, so that nothing counts as caught that was not.
    """
    reading, writing = os.pipe()
    if (child := os.fork()) == 0:
        os.close(reading)
        may_take(patience)
        _be_the_child(tree, [*options, *files], wanted, writing, [*plugins])
    os.close(writing)
    text, until, late = b"", time.monotonic() + patience * BY_THE_CLOCK, False
    while True:
        ready, _, _ = select.select([reading], [], [], max(until - time.monotonic(), 0))
        if late := not ready:
            os.killpg(child, signal.SIGKILL)
            break
        if not (more := os.read(reading, 65536)):
            break
        text += more
    os.close(reading)
    status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    told = text.decode().splitlines()
    if failed := next((line.removeprefix("failed ") for line in told if line.startswith("failed ")), None):
        return failed, told
    if late or status == -signal.SIGXCPU:
        return "time", told
    if status not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
        raise RuntimeError(f"the tests ended without a result ({status})")
    return None, told


def _be_the_child(
    tree: Path, asked: list[str], wanted: Callable[[str], bool], writing: int, plugins: list[object]
) -> NoReturn:
    status = 70
    try:
        os.setpgid(0, 0)
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in range(2):
            os.dup2(nowhere, stream)
        os.chdir(tree)
        sys.path[:0] = [str(tree / "plugin"), str(tree / "tests")]
        os.environ["PYTHONPATH"] = str(tree / "plugin")
        told = Told(wanted, lambda line: _write_all(writing, f"{line}\n".encode()))
        status = pytest.main([*OPTIONS, *asked], plugins=[told, *plugins])
        for plugin in plugins:
            getattr(plugin, "end", lambda: None)()
    finally:
        os._exit(status)


def _write_all(to: int, data: bytes) -> None:
    while data:
        data = data[os.write(to, data) :]
