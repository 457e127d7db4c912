"""The examples in docstrings, run: each shows a formula beside a figure that is printed somewhere."""

from __future__ import annotations

import doctest
import importlib
import pkgutil

import benchleaf.electrics


def test_every_example_gives_what_it_shows() -> None:
    modules = [m.name for m in pkgutil.iter_modules(benchleaf.electrics.__path__, "benchleaf.electrics.")]
    results = {name: doctest.testmod(importlib.import_module(name)) for name in modules}
    assert {name: result.failed for name, result in results.items() if result.failed} == {}
    assert sum(result.attempted for result in results.values()) >= 5
