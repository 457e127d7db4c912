"""The rules of the house that a program can check: style, types, the size of modules, the top level."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import jinja2
import pytest
from jinja2 import nodes

from sites import REPO

PACKAGE = REPO / "plugin" / "benchleaf"


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


def test_every_file_that_is_said_to_be_long_is_there() -> None:
    tests = REPO / "tests"
    named = (tests / "long_files.txt").read_text(encoding="utf-8").split()
    assert [name for name in named if not (tests / f"{name}.py").is_file()] == []


def test_modules_stay_short() -> None:
    long = {
        path.relative_to(REPO).as_posix(): count
        for path in (REPO / "plugin").rglob("*.py")
        if (count := len(path.read_text(encoding="utf-8").splitlines())) > 350
    }
    assert long == {}


FLOORS = (
    ("electrics", "words"),
    ("tubes", "drawing"),
    ("record",),
    ("circuit",),
    ("report",),
    ("chapters",),
    ("pages",),
    ("archive",),
    ("build",),
    ("cli", "mkdocs_side"),
    ("mkdocs_plugin",),
    ("__main__",),
)
"""The rooms of the package from the ground up. A room imports from its own and from lower floors only."""


def test_every_file_stands_in_a_room() -> None:
    beside = {path.name for path in PACKAGE.iterdir() if path.is_file() or any(path.rglob("*.py"))}
    rooms = {room for floor in FLOORS for room in floor}
    assert beside - rooms == {"__init__.py", "__main__.py", "mkdocs_plugin.py", "py.typed"}


def test_no_import_goes_up() -> None:
    floor_of = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}
    up = [
        f"{here} imports {there}"
        for here, imported in imports_of_package().items()
        for there in imported
        if _room(here) and _room(there) and floor_of[_room(there)] > floor_of[_room(here)]
    ]
    assert up == []


def test_rooms_on_the_ground_import_nothing_of_each_other() -> None:
    across = [
        f"{here} imports {there}"
        for here, imported in imports_of_package().items()
        for there in imported
        if _room(here) in FLOORS[0] and _room(there) != _room(here)
    ]
    assert across == []


CHAPTER_FILES = {"digest", "examine", "figures", "findings", "judging", "measured", "say", "verdicts", "wording"}
"""Files that any chapter may have, of one meaning each; `build` and `report` hold what is common to some of them."""


def test_no_two_modules_share_a_name_but_by_recipe_or_subject() -> None:
    """Beside the files of a chapter, a name comes back only where rooms hold one subject: written, asked, computed."""
    standing: dict[str, set[str]] = {}
    for path in PACKAGE.rglob("*.py"):
        if path.stem not in {"__init__", *CHAPTER_FILES}:
            standing.setdefault(path.stem, set()).add(path.parent.relative_to(PACKAGE).as_posix())
    twice = {name: rooms for name, rooms in standing.items() if len(rooms) > 1}
    by_subject = ("record/sections", "circuit", "circuit/names", "circuit/rules", "cli", "electrics")
    assert {name: rooms for name, rooms in twice.items() if not rooms <= set(by_subject)} == {}
    assert "heaters" in twice


def test_no_two_classes_share_a_name() -> None:
    """One word, one meaning: of classes, and of the names a module gives to types."""
    named = re.compile(r"^(?:class (?P<class>\w+)|(?P<type>_?[A-Z][a-z]\w*) = )", re.M)
    standing: dict[str, list[str]] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        for match in named.finditer(path.read_text(encoding="utf-8")):
            name = match["class"] or match["type"]
            standing.setdefault(name, []).append(path.relative_to(PACKAGE).as_posix())
    assert {name: paths for name, paths in standing.items() if len(paths) > 1} == {}
    assert standing["Piece"] == ["circuit/pieces.py"]


def test_no_circle_of_files() -> None:
    order = TopologicalSorter(imports_of_package())
    try:
        order.prepare()
    except CycleError as error:
        pytest.fail(" needs ".join(error.args[1]))


def test_only_the_adapter_imports_the_generator() -> None:
    importing = re.compile(r"^\s*(?:from|import) mkdocs\b", re.M)
    found = {path.name for path in PACKAGE.rglob("*.py") if importing.search(path.read_text(encoding="utf-8"))}
    assert found == {"mkdocs_plugin.py"}


def _room(module: str) -> str:
    """The room that ``benchleaf.room.file`` stands in; empty for the package's own face."""
    return [*module.split("."), ""][1]


@cache
def imports_of_package() -> dict[str, set[str]]:
    """Every module of the package with the modules of the package it imports, wherever in the file it does."""
    modules = {_module(path): path for path in PACKAGE.rglob("*.py")}
    return {name: set(_imported(name, path, modules)) - {name} for name, path in modules.items()}


def _module(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _imported(name: str, path: Path, modules: Mapping[str, Path]) -> Iterator[str]:
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name in modules)
        elif isinstance(node, ast.ImportFrom):
            above = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            source = ".".join([*above, *([node.module] if node.module else [])])
            if source.split(".")[0] == PACKAGE.name:
                yield from (f"{source}.{a.name}" if f"{source}.{a.name}" in modules else source for a in node.names)


def test_no_chapter_takes_from_another_chapters_figures_or_page() -> None:
    chapters = REPO / "plugin" / "benchleaf" / "chapters"
    found = [
        f"{path.parent.name}/{path.name}: {match[0]}"
        for path in chapters.glob("*/*.py")
        for match in re.finditer(r"from (?:\.\.|benchleaf\.chapters\.)(\w+)\.figures", path.read_text(encoding="utf-8"))
        if match[1] != path.parent.name
    ]
    assert found == []


SAYING = sorted(
    say.parent
    for say in (PACKAGE / "chapters").glob("*/say.py")
    if re.search(r"^def said\(", say.read_text("utf-8"), re.M)
)
"""Chapters whose ``say`` makes every statement of their page."""


@pytest.mark.parametrize("folder", SAYING, ids=lambda folder: folder.name)
def test_a_template_decides_nothing(folder: Path) -> None:
    """What a chapter says is said by its ``say``: its templates compare, compute and word no verdict."""
    assert [
        f"{path.name}:{node.lineno}: {type(node).__name__}"
        for path in sorted(folder.glob("*.j2"))
        for node in jinja2.Environment().parse(path.read_text(encoding="utf-8")).find_all(DECIDING)
    ] == []


DECIDING = (nodes.Compare, nodes.BinExpr, nodes.UnaryExpr, nodes.Test, nodes.CondExpr, nodes.Dict)


def test_chapters_that_say_are_found() -> None:
    assert "parts" in {folder.name for folder in SAYING}


def test_the_rule_for_templates_catches_what_decides() -> None:
    for deciding in (
        "{% if a > 1 %}{% endif %}",
        "{{ a * 2 }}",
        "{{ 'x' if a else 'y' }}",
        "{% if a is none %}{% endif %}",
    ):
        assert list(jinja2.Environment().parse(deciding).find_all(DECIDING)), deciding
    assert not list(jinja2.Environment().parse("{% if a %}{{ a.b }}{% endif %}").find_all(DECIDING))


def test_only_the_reporter_and_the_reader_make_problems() -> None:
    making = re.compile(r"\bProblem(?:\.at)?\(")
    found = {
        path.relative_to(PACKAGE).as_posix()
        for path in PACKAGE.rglob("*.py")
        if path.relative_to(PACKAGE).parts[0] != "record" and making.search(path.read_text(encoding="utf-8"))
    }
    assert found == set()


STANDS_TWICE = {
    "('sets', 'parts', 'readings')",  # What a command may be asked for is told without loading what makes it.
    "{'json': False}",  # What a field is marked by, said by each file of findings in a name of its own.
}


def test_constants_of_words_stand_once() -> None:
    """A table or a row of words that two modules have each for itself is one fact with two homes."""
    standing: dict[str, list[str]] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None and _holds_words(node.value):
                standing.setdefault(ast.unparse(node.value), []).append(path.relative_to(PACKAGE).as_posix())
    assert {said: at for said, at in standing.items() if len(at) > 1 and said not in STANDS_TWICE} == {}
    assert len(standing["('ordered', 'tested', 'fitted', 'checked')"]) == 1


def _holds_words(value: ast.expr) -> bool:
    """Whether it is a row, a set, a table or a pattern with words of its own in it."""
    if isinstance(value, ast.Call):
        return ast.unparse(value.func) in ("re.compile", "frozenset") and bool(value.args) and _is_long(value.args)
    return isinstance(value, ast.Tuple | ast.Set | ast.Dict | ast.List) and _is_long([value])


def _is_long(of: list[ast.expr]) -> bool:
    inner = [node.value for each in of for node in ast.walk(each) if isinstance(node, ast.Constant)]
    return sum(len(word) for word in inner if isinstance(word, str)) > 8
