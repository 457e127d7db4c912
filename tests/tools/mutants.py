"""How many small mistakes the tests would notice: mutants drawn at random, and the tests that belong to each.

    python tests/tools/mutants.py [--count 60] [--seed 1] [--only electrics/touch] [--list]

A mutant is one change in `electrics`, `circuit`, `chapters` or `record`: a comparison, a sign of arithmetic, `and` for
`or`, a constant 5 % off, a question for None turned round, a value returned or not. The tests run on a copy of the work
tree: first those that name the changed module, then the others of its room or chapter, then those of the chapters that
import it and the rules for all chapters, until one fails. What survives is printed with its line. Those that change
nothing anybody could see stand in `equivalent_mutants.txt`, each with its reason, and are not drawn. Exit status 1
where fewer than 95 % were caught.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import accumulate
from pathlib import Path

import pytest

REPO = Path(__file__).parents[2]
PACKAGE = Path("plugin/benchleaf")
ROOMS = ("electrics", "circuit", "chapters", "record")
EQUIVALENT = Path(__file__).with_name("equivalent_mutants.txt")
LEAST_CAUGHT = 0.95
LONGEST_SECONDS = 900

OTHER_COMPARISON: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
OTHER_ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
}  # fmt: skip
UNSEEN_CALLS = frozenset({"field", "Literal", "NewType", "TypeVar"})


@dataclass(frozen=True, order=True)
class Mutant:
    """One change: ``old`` becomes ``new`` in a file, from its byte ``start`` to ``end``; ``line`` counts from 1."""

    path: str
    line: int
    start: int
    end: int
    old: str
    new: str

    def __str__(self) -> str:
        old, new = (" ".join(text.split()) for text in (self.old, self.new))
        return f"{self.path}:{self.line}: {old} -> {new}"

    def apply(self, source: str) -> str:
        whole = source.encode()
        return (whole[: self.start] + self.new.encode() + whole[self.end :]).decode()

    def name(self, source: str) -> tuple[str, str, str]:
        """What it is known by in the list of equivalent ones: the line before and after; its number would not last."""
        before, after = (text.splitlines()[self.line - 1].strip() for text in (source, self.apply(source)))
        return self.path, before, after


def mutants_of(path: str, source: str) -> Iterator[Mutant]:
    """Every mutant of a module, in the order of its text."""
    tree = ast.parse(source)
    passed = set(_passed_over(tree))
    found: set[Mutant] = set()
    whole = source.encode()
    begins = [0, 0, *accumulate(len(line) for line in whole.splitlines(keepends=True))]
    for node in ast.walk(tree):
        if id(node) in passed:
            continue
        for new in _changes(node):
            assert isinstance(node, ast.expr | ast.stmt)
            assert node.end_lineno is not None
            assert node.end_col_offset is not None
            start, end = begins[node.lineno] + node.col_offset, begins[node.end_lineno] + node.end_col_offset
            text = ast.unparse(new)
            text = f"({text})" if isinstance(node, ast.expr) and not isinstance(node, ast.Constant) else text
            found.add(Mutant(path, node.lineno, start, end, whole[start:end].decode(), text))
    yield from sorted(found)


def _passed_over(tree: ast.Module) -> Iterator[int]:
    """What is not run as it stands, or only told to a reader: annotations, docstrings, f-strings, imports."""
    for node in ast.walk(tree):
        inner: list[ast.AST | None] = []
        if isinstance(node, ast.AnnAssign | ast.arg):
            inner.append(node.annotation)
        if isinstance(node, ast.FunctionDef):
            inner += [node.returns, *node.decorator_list]
        if isinstance(node, ast.ClassDef):
            inner += node.decorator_list
        if isinstance(node, ast.JoinedStr | ast.ImportFrom):
            inner.append(node)
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            inner.append(node)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in UNSEEN_CALLS:
            inner.append(node)
        for part in inner:
            yield from (id(n) for n in (ast.walk(part) if part is not None else ()))


def _changes(node: ast.AST) -> Iterator[ast.AST]:
    match node:
        case ast.Compare(ops=[op], left=left, comparators=compared):
            yield ast.Compare(left, [OTHER_COMPARISON[type(op)]()], compared)
        case ast.Compare(ops=ops, left=left, comparators=compared):
            for at, op in enumerate(ops):
                yield ast.Compare(left, [*ops[:at], OTHER_COMPARISON[type(op)](), *ops[at + 1 :]], compared)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in OTHER_ARITHMETIC and not _is_text(left, right):
            yield ast.BinOp(left, OTHER_ARITHMETIC[type(op)](), right)
        case ast.BoolOp(op=op, values=values):
            yield ast.BoolOp(ast.Or() if isinstance(op, ast.And) else ast.And(), values)
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            yield operand
        case ast.Constant(value=bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(value=float(value)) if value not in (0.0, float("inf")):
            yield from (ast.Constant(float(f"{value * times:.6g}")) for times in (0.95, 1.05))
        case ast.Constant(value=float(value)):
            yield ast.Constant(1.0)
        case ast.Constant(value=int(value)):
            yield from (ast.Constant(value + step) for step in (1, -1) if value + step >= 0)
        case ast.Return(value=ast.Constant(value=None) | None):
            return
        case ast.Return(value=value) if not isinstance(value, ast.Constant):
            yield ast.Return(ast.Constant(None))


def _is_text(*sides: ast.expr) -> bool:
    """Whether what is added is text, lists or types: the change would be a crash and no mistake."""
    shapes = (ast.JoinedStr, ast.List, ast.Tuple, ast.ListComp)
    return any(isinstance(s, shapes) or (isinstance(s, ast.Constant) and isinstance(s.value, str)) for s in sides)


def equivalent() -> dict[tuple[str, ...], str]:
    """Mutants that change nothing anybody could see, with the reason: path, line before, line after, reason."""
    lines = [line.split(" || ") for line in EQUIVALENT.read_text(encoding="utf-8").splitlines()]
    return {(path, before, after): reason for path, before, after, reason in lines}


def drawn(count: int, seed: int, only: str = "") -> list[Mutant]:
    """``count`` mutants at random, without those known to be equivalent.

    Each has a lot of its own, drawn from the seed and its line, so that a change elsewhere does not draw all anew.
    """
    left_out, every = equivalent(), []
    for file in (f for room in ROOMS for f in sorted((REPO / PACKAGE / room).rglob("*.py"))):
        path, source = file.relative_to(REPO / PACKAGE).as_posix(), file.read_text(encoding="utf-8")
        if only in path:
            named = ((mutant.name(source), mutant) for mutant in mutants_of(path, source))
            every += [(random.Random(f"{seed} {name}").random(), m) for name, m in named if name not in left_out]
    return sorted(mutant for _, mutant in sorted(every)[:count])


def tests_of(path: str) -> list[list[str]]:
    """The test files that belong to a module, nearest first.

    Those that name it, those of its room or chapter, those of the chapters that import it, the rules for all chapters.
    """
    module = path.removesuffix(".py").replace("/", ".")
    room, last = _subject(module), module.rpartition(".")[2]
    near: list[list[str]] = [[], [], [], []]
    for file, text in _test_files().items():
        name = Path(file).stem.removeprefix("test_")
        if re.search(rf"\bbenchleaf\.{re.escape(module)}\b", text) or name in (last, f"{room}_{last}"):
            near[0].append(file)
        elif _is_of(room, file, text):
            near[1].append(file)
        elif any(_is_of(user, file, text) for user in _users(module) - {room}):
            near[2].append(file)
        elif name == "every_chapter" and (module.startswith("chapters.") or _users(module)):
            near[3].append(file)
    return [files for files in near if files]


def _subject(module: str) -> str:
    """The chapter of a module, or else its room."""
    room, _, rest = module.partition(".")
    return rest.partition(".")[0] if room == "chapters" and "." in rest else room


def _is_of(room: str, file: str, text: str) -> bool:
    """Whether a test file is of a room or chapter: it lies there, or tells of one that has no folder of its own."""
    if Path(file).parent.name == room or Path(file).stem.startswith(f"test_{room}"):
        return True
    if room in ROOMS:
        # What a record's names lead to, and where it contradicts itself, is told when it is followed.
        told = f"from benchleaf.{room}." in text or " follow(" in text
        return told and not (REPO / "tests" / room).is_dir()
    return f"benchleaf.chapters.{room}." in text or re.search(rf'makers\.\w+\("{room}"', text) is not None


@cache
def _test_files() -> dict[str, str]:
    """Every test file with its text; not those that build whole sites or look at the style of all files."""
    files = sorted((REPO / "tests").rglob("test_*.py"))
    apart = ("test_house.py", "test_tools.py", "test_pictures.py")
    return {
        f.relative_to(REPO).as_posix(): f.read_text(encoding="utf-8")
        for f in files
        if f.name not in apart and f.parent.name != "site"
    }


@cache
def _users(module: str) -> set[str]:
    """The chapters that import a module of another room."""
    tail = re.escape(module.partition(".")[2])
    importing = re.compile(rf"^\s*from [.\w]*\b{module.partition('.')[0]}\.{tail} import", re.M)
    chapters = (REPO / PACKAGE / "chapters").glob("*/*.py")
    return {f.parent.name for f in chapters if importing.search(f.read_text(encoding="utf-8"))}


def caught_by(mutant: Mutant, tree: Path) -> str | None:
    """The first test that fails with the mutant in place; None where it survives, ``time`` where nothing ever ends.

    Raises RuntimeError where the tests were ended from outside, so that nothing counts as caught that was not.
    """
    file = tree / PACKAGE / mutant.path
    source = file.read_text(encoding="utf-8")
    file.write_text(mutant.apply(source), encoding="utf-8")
    try:
        for some in tests_of(mutant.path):
            if (failed := _failed(some, tree)) is not None:
                return failed
        return None
    finally:
        file.write_text(source, encoding="utf-8")


def _failed(files: list[str], tree: Path) -> str | None:
    options = ["-x", "-q", "--no-header", "--tb=no", "-p", "no:cacheprovider", "-k", "not chromium and not browser"]
    try:
        result = subprocess.run(
            [sys.executable, "-m", "pytest", *options, *files],
            cwd=tree,
            env={**os.environ, "PYTHONPATH": str(tree / "plugin"), "PYTHONDONTWRITEBYTECODE": "1"},
            capture_output=True,
            text=True,
            timeout=LONGEST_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "time"
    if result.returncode in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
        return None
    if told := re.search(r"^(?:FAILED|ERROR) (\S+)", result.stdout, re.M):
        return told[1]
    raise RuntimeError(f"the tests ended without a result ({result.returncode}): {result.stdout}{result.stderr}")


def main() -> int:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--count", type=int, default=60)
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--only", default="", help="a part of the path of the modules to draw from")
    ap.add_argument("--list", action="store_true", help="print what would be tried, and the tests that belong to it")
    given = ap.parse_args()
    chosen = drawn(given.count, given.seed, given.only)
    if given.list:
        for mutant in chosen:
            print(mutant, *(" ".join(files) for files in tests_of(mutant.path)), sep="\n    ")
        return 0
    os.nice(15)
    survived = []
    with tempfile.TemporaryDirectory() as folder:
        tree = Path(folder) / "tree"
        for name in ("plugin", "tests", "site_src"):
            shutil.copytree(REPO / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
        for name in ("pyproject.toml", "mkdocs.yml", "README.md", "DEVELOPERS.md"):
            shutil.copy(REPO / name, tree / name)
        for number, mutant in enumerate(chosen, 1):
            by = caught_by(mutant, tree)
            survived += [mutant] if by is None else []
            print(f"{number}/{len(chosen)} {'SURVIVED' if by is None else 'caught'} {mutant}  {by or ''}", flush=True)
    share = 1 - len(survived) / len(chosen)
    print(f"seed {given.seed}: {len(chosen) - len(survived)} of {len(chosen)} caught, {share:.0%}")
    return int(share < LEAST_CAUGHT)


if __name__ == "__main__":
    sys.exit(main())
