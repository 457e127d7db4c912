"""Mutants tried in processes forked from one that has collected all tests: each is put into the loaded modules."""

from __future__ import annotations

import os
import select
import signal
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import NoReturn

import pytest
from _pytest.runner import runtestprotocol

from tools.in_place import put_in_place
from tools.warm_tests import BY_THE_CLOCK, OPTIONS, may_take

LONGEST_SECONDS = 120
"""Of the processor, for the tests of one mutant."""
NOT_PUT = "not put in place"
"""What is told of a mutant that takes loading its module anew."""


@dataclass(frozen=True)
class Try:
    """One mutant, as the module's name, the line, and its changed text, with the tests to try it by, in their order."""

    module: str
    line: int
    source: str
    tests: Sequence[str]


class _Tries:
    """A plugin of pytest that tries mutants where it would run the tests."""

    def __init__(self, tries: Iterable[Try], tell: Callable[[str | None], None]) -> None:
        self.tries, self.tell = tries, tell

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            return True  # a file of tests could not be read, which is told at the end
        items: dict[str, list[pytest.Item]] = {}
        for item in session.items:
            items.setdefault(item.nodeid, []).append(item)
            items.setdefault(item.nodeid.partition("::")[0], []).append(item)
        sound: set[str] = set()
        for one in self.tries:
            import_module(one.module)
            by = _forked(one, [item for test in one.tests for item in items.get(test, [])])
            if by in items and by not in sound:
                if _forked(None, items[by]) is not None:
                    raise RuntimeError(f"{by} fails without any mutant, so that it catches none")
                sound.add(by)
            self.tell(by)
        return True


def _forked(one: Try | None, items: list[pytest.Item]) -> str | None:
    """The first test that fails with a mutant, or without one; None where none does."""
    reading, writing = os.pipe()
    if (child := os.fork()) == 0:
        os.close(reading)
        may_take(LONGEST_SECONDS)
        _be_the_child(one, items, writing)
    os.close(writing)
    late = not select.select([reading], [], [], LONGEST_SECONDS * BY_THE_CLOCK)[0]
    if late:
        os.kill(child, signal.SIGKILL)
    told = b"time" if late else os.read(reading, 4096)
    os.close(reading)
    if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == -signal.SIGXCPU:
        told = b"time"
    if not told:
        raise RuntimeError(f"the tests of {f'{one.module}:{one.line}' if one else items[0]} ended without a result")
    return None if told == b"passed" else told.decode(errors="replace")


def _be_the_child(one: Try | None, items: list[pytest.Item], writing: int) -> NoReturn:
    told = ""
    try:
        if one and not put_in_place(sys.modules[one.module], one.line, one.source):
            told = NOT_PUT
        for item, after in zip(items, [*items[1:], None], strict=True):
            if not told and any(report.failed for report in runtestprotocol(item, log=False, nextitem=after)):
                told = item.nodeid
        told = told or "passed"
    except BaseException as error:
        told = f"{type(error).__name__} while it was put in place"
    finally:
        os.write(writing, told.encode()[:4096])
        os._exit(0)


def try_all(files: Iterable[str], tries: Iterable[Try], tell: Callable[[str | None], None], kept: Path) -> None:
    """Collect the tests of files and try mutants one after the other: ``tell`` gets what each was caught by, if at all.

    What never ends is told as ``time``; what cannot be put in place, as `NOT_PUT`.
    """
    plugin = _Tries(tries, tell)
    status = pytest.main([*OPTIONS, f"--basetemp={kept}", *files], plugins=[plugin])
    if status != pytest.ExitCode.OK:
        raise RuntimeError(f"the tests were not collected ({status})")
