"""Which tests a mutant is tried by: those meant for its module first, then all others that pass its line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from itertools import accumulate
from pathlib import Path

from tools import covering
from tools.covering import PACKAGE, REPO
from tools.touched_lines import touched

TRIED_SECONDS = 40.0
"""So long may the other tests of one mutant take by the map, in which each takes about twice as long as else."""
OF_ALL = "tests/test_held_figures.py"
"""What holds a little of everything."""


def tests_of(path: str, line: int, known: covering.Covering) -> list[str]:
    """The tests a mutant is tried by, in their order: of others the quickest, where all would take too long.

    A file that is meant for the module is named itself, so that all its tests are tried: one that looks at a constant
    passes no line, and one that is new is not in the map.
    """
    near, passing = set(named_for(path)), set[str]()
    for module, lines in touched(REPO / PACKAGE, path, line).items():
        passing |= known.passing(module, lines)
    others = _quickest((test for test in passing if file_of(test) not in near), known)
    return [*sorted(near), *_within(others, known), *({OF_ALL} - near)]


def file_of(test: str) -> str:
    """The file of a test, as pytest names both."""
    return test.partition("::")[0]


def named_for(path: str) -> list[str]:
    """The test files that are meant for a module: they have its name, or import it."""
    module = path.removesuffix(".py").replace("/", ".")
    room, last = _subject(module), module.rpartition(".")[2]
    asked = rf"\bbenchleaf\.{re.escape(module)}\b"
    return [
        file
        for file, text in _test_files().items()
        if re.search(asked, text) or Path(file).stem in (f"test_{last}", f"test_{room}_{last}")
    ]


def _quickest(tests: Iterable[str], known: covering.Covering) -> list[str]:
    return sorted(tests, key=lambda test: (known.took[test], test))


def _within(tests: list[str], known: covering.Covering) -> list[str]:
    summed = accumulate(known.took.get(test, 0.0) for test in tests)
    return [test for test, seconds in zip(tests, summed, strict=True) if seconds <= TRIED_SECONDS]


def _subject(module: str) -> str:
    """The chapter of a module, or else its room."""
    room, _, rest = module.partition(".")
    return rest.partition(".")[0] if room == "chapters" and "." in rest else room


@cache
def _test_files() -> dict[str, str]:
    return {file: (REPO / file).read_text(encoding="utf-8") for file in covering.test_files()}
