"""What every test may use."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import hypothesis
import pytest
from playwright.sync_api import Browser, sync_playwright

from benchleaf.build.garbage import search_seldom

LONG_FILES = (Path(__file__).parent / "long_files.txt").read_text(encoding="utf-8").split()
"""The longest files, the longest first but for those that look at the demo, which the first of all makes."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """``--whole`` runs the long checks whole, which otherwise try a sample."""
    parser.addoption("--whole", action="store_true", help="run the long checks whole, not a sample of them")


def pytest_xdist_auto_num_workers() -> int:
    """One process more than there are cores: those that look at pages wait for a browser half of their time."""
    return (os.cpu_count() or 1) + 1


def pytest_configure(config: pytest.Config) -> None:
    """Processes take files in the order in which they are collected, not the one with most tests first.

    Nor do they compile every module anew, each of them and each that they start, on a machine that keeps no bytecode,
    or search for garbage as often as Python would. How long an example takes, or making it, is no failure: a machine
    that does much else is slow.
    """
    hypothesis.settings.register_profile(
        "untimed", deadline=None, suppress_health_check=[hypothesis.HealthCheck.too_slow]
    )
    hypothesis.settings.load_profile("untimed")
    search_seldom()
    config.option.loadscopereorder = False
    if config.option.numprocesses:
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Long files come first where processes share them, so that none is left alone with one at the end."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        place = {name: number for number, name in enumerate(LONG_FILES)}
        items.sort(key=lambda item: place.get(_file(item), len(place)))


def pytest_collection_finish() -> None:
    """All that was collected is there to the end: no search for garbage need pass it."""
    gc.collect()
    gc.freeze()


def _file(item: pytest.Item) -> str:
    return item.path.relative_to(Path(__file__).parent).with_suffix("").as_posix()


@pytest.fixture
def sampled(request: pytest.FixtureRequest) -> Callable[[int], int]:
    """Turns “one in so many” into 1 where the whole is asked for."""
    whole = request.config.getoption("whole")
    return lambda one_in: 1 if whole else one_in


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """A skipped test is a failure in CI: what cannot run there was not checked."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if os.environ.get("CI") and reporter and reporter.stats.get("skipped"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


@pytest.fixture(scope="session", autouse=True)
def configuration(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A configuration folder of the tests' own: a build makes its user's key there.

    One for all processes that share the tests: what one has kept of the demo another may believe.
    """
    apart = "PYTEST_XDIST_WORKER" in os.environ
    folder = tmp_path_factory.getbasetemp().parent if apart else tmp_path_factory.mktemp("of-a-user")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(folder / "configuration"))
        yield


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, headless; one for all tests, as Playwright runs one at a time."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path="/usr/bin/chromium")
        yield started
        started.close()
