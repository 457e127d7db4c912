"""What other programs may rely on: the list, the names themselves and their documentation say the same."""

from __future__ import annotations

import inspect
import re
import subprocess
import sys
from importlib import import_module

import pytest

from benchleaf import PUBLIC, __version__
from sites import REPO

PAGE = (REPO / "site_src" / "writing" / "python.md").read_text(encoding="utf-8")
NAMES = [(module, name) for module, names in PUBLIC.items() for name in names]


@pytest.mark.parametrize(("module", "name"), NAMES, ids=[name for _, name in NAMES])
def test_every_public_name_is_there_and_says_what_it_is(module: str, name: str) -> None:
    found = getattr(import_module(module), name)
    assert not callable(found) or inspect.getdoc(found)
    assert f"| `{name}` |" in PAGE
    assert f"`{module}`" in PAGE


def test_the_page_promises_nothing_else() -> None:
    rows = set(re.findall(r"^\| `(\w+)` \|", PAGE, re.M))
    modules = set(re.findall(r"\bbenchleaf(?:\.\w+)+", PAGE))
    assert rows == {name for _, name in NAMES}
    assert modules == set(PUBLIC)


def test_the_examples_of_the_page_run() -> None:
    examples = re.findall(r"^```python\n(.*?)^```", PAGE, re.S | re.M)
    assert len(examples) == 2
    scope: dict[str, object] = {}
    for example in examples:
        exec(compile(example, "python.md", "exec"), scope)
    assert scope["problems"] == []


def test_the_package_runs_as_a_module() -> None:
    command = [sys.executable, "-m", "benchleaf", "--version"]
    result = subprocess.run(command, capture_output=True, text=True, check=True)
    assert __version__ in result.stdout
