"""The rules of the house that a program can check: style, types, the size of modules, the top level."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest

from sites import REPO


@pytest.mark.parametrize(
    "command",
    [["ruff", "check", "plugin", "tests"], ["ruff", "format", "--check", "plugin", "tests"], ["mypy"]],
    ids=["ruff check", "ruff format", "mypy"],
)
def test_style_and_types(command: list[str]) -> None:
    result = subprocess.run([sys.executable, "-m", *command], cwd=REPO, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr


def test_the_top_level_holds_what_it_should() -> None:
    result = subprocess.run(["git", "ls-files"], cwd=REPO, capture_output=True, text=True, check=True)
    top = {line.partition("/")[0] for line in result.stdout.splitlines()}
    expected = {"README.md", "DEVELOPERS.md", "mkdocs.yml", "pyproject.toml", "plugin", "site_src", "tests", "LICENSE"}
    assert {name for name in top if not name.startswith(".")} == expected


def test_modules_stay_short() -> None:
    long = {
        path.relative_to(REPO).as_posix(): count
        for path in (REPO / "plugin").rglob("*.py")
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > 350
    }
    assert long == {}


def test_physics_imports_nothing_of_ours() -> None:
    importing = re.compile(r"^\s*(?:from|import) (?:\.\.|benchleaf\.(?!electrics))", re.M)
    rooms = (REPO / "plugin" / "benchleaf" / "electrics").glob("*.py")
    assert [path.name for path in rooms if importing.search(path.read_text(encoding="utf-8"))] == []


def test_no_chapter_takes_from_another_chapters_figures_or_page() -> None:
    chapters = REPO / "plugin" / "benchleaf" / "chapters"
    found = [
        f"{path.parent.name}/{path.name}: {match[0]}"
        for path in chapters.glob("*/*.py")
        for match in re.finditer(r"from (?:\.\.|benchleaf\.chapters\.)(\w+)\.figures", path.read_text(encoding="utf-8"))
        if match[1] != path.parent.name
    ]
    assert found == []
