"""How many small mistakes the tests would notice: mutants drawn at random, and the tests that belong to each.

    python tests/tools/mutants.py [--count 60] [--seed 1] [--only electrics/touch] [--list]

A mutant is one change in `electrics`, `circuit`, `chapters` or `record`: a comparison, a sign of arithmetic, `and` for
`or`, a constant 5 % off, a question for None turned round, a value returned or not. It is tried by the tests that pass
its line (`covering.py` finds them out, once, and first), until one fails. What survives is printed with its line. Those
that change nothing anybody could see stand in `equivalent_mutants.txt`, each with its reason, and are not drawn. Exit
status 1 where fewer than 95 % were caught.
"""

from __future__ import annotations

import argparse
import ast
import multiprocessing
import os
import random
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))
from tools import covering, warm_tests
from tools.covering import PACKAGE, REPO
from tools.mutant_tests import file_of, tests_of
from tools.quick_tries import LONGEST_SECONDS, NOT_PUT, Try, try_all

ROOMS = ("electrics", "circuit", "chapters", "record")
EQUIVALENT = Path(__file__).with_name("equivalent_mutants.txt")
LEAST_CAUGHT = 0.95
_Told = Any
"""The queue in which a process tells of each mutant what caught it."""

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

    @property
    def module(self) -> str:
        return "benchleaf." + self.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")

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
    """What is not run as it stands, or only told to a reader: annotations, docstrings, f-strings, imports.

    So is that a zip is strict: it is a guard against what no input brings about.
    """
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
        if isinstance(node, ast.keyword) and node.arg == "strict" and ast.unparse(node.value) == "True":
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


def _source(path: str) -> str:
    return (REPO / PACKAGE / path).read_text(encoding="utf-8")


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


def _quickly(mutants: Sequence[Mutant], known: covering.Covering, kept: Path, told: _Told) -> None:
    """Try mutants in the modules as they are loaded, in this process."""
    every = [tests_of(mutant.path, mutant.line, known) for mutant in mutants]
    tries = [
        Try(mutant.module, mutant.line, mutant.apply(_source(mutant.path)), tests)
        for mutant, tests in zip(mutants, every, strict=True)
    ]
    left = iter(mutants)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    try_all(sorted(file_of(test) for test in set().union(*every)), tries, lambda by: told.put((next(left), by)), kept)


def caught_by(mutant: Mutant, tree: Path, known: covering.Covering) -> str | None:
    """The first test that fails with the mutant in its file; None where it survives, ``time`` where nothing ever ends.

    Raises RuntimeError where the tests were ended from outside, so that nothing counts as caught that was not.
    """
    file = tree / PACKAGE / mutant.path
    chosen = frozenset(tests_of(mutant.path, mutant.line, known))
    file.write_text(mutant.apply(_source(mutant.path)), encoding="utf-8")
    try:
        return warm_tests.run(
            tree,
            sorted(set(map(file_of, chosen))),
            LONGEST_SECONDS,
            ["-x", f"--basetemp={tree.parent / 'kept'}"],
            lambda test: not chosen.isdisjoint((test, file_of(test))),
        )[0]
    finally:
        file.write_text(_source(mutant.path), encoding="utf-8")


def tried(mutants: Sequence[Mutant], processes: int) -> Iterator[tuple[Mutant, str | None]]:
    """Each mutant with what caught it, as that is found out.

    They are tried in the loaded modules first. What survives that, or cannot be put there, is tried in its file, with
    everything loaded anew.
    """
    sys.path.insert(0, str(REPO / "plugin"))
    known, context = covering.Covering(), multiprocessing.get_context("fork")
    told: _Told = context.SimpleQueue()
    warm_tests.load_libraries()
    with tempfile.TemporaryDirectory() as folder:
        started = [
            context.Process(target=_quickly, args=(some, known, Path(folder) / f"{number}", told))
            for number in range(processes)
            if (some := mutants[number::processes])
        ]
        for process in started:
            process.start()
        left = []
        for _ in mutants:
            while told.empty():
                if any(process.exitcode for process in started):
                    raise RuntimeError("the tests could not be collected, or a process was ended from outside")
                time.sleep(0.1)
            mutant, by = told.get()
            if by is None or by == NOT_PUT:
                left.append(mutant)
            else:
                yield mutant, by
        for process in started:
            process.join()
        tree = Path(folder) / "tree"
        tree.mkdir()
        covering.copy_tree(tree)
        for mutant in left:
            yield mutant, caught_by(mutant, tree, known)


def main() -> int:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--count", type=int, default=60)
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--only", default="", help="a part of the path of the modules to draw from")
    ap.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    ap.add_argument("--list", action="store_true", help="print what would be tried, and the tests that belong to it")
    given = ap.parse_args()
    chosen = drawn(given.count, given.seed, given.only)
    if given.list:
        known = covering.Covering()
        for mutant in chosen:
            print(mutant, *tests_of(mutant.path, mutant.line, known), sep="\n    ")
        return 0
    survived = 0
    for number, (mutant, by) in enumerate(tried(chosen, given.processes), 1):
        survived += by is None
        print(f"{number}/{len(chosen)} {f'caught {mutant}  {by}' if by else f'SURVIVED {mutant}'}", flush=True)
    share = 1 - survived / len(chosen)
    print(f"seed {given.seed}: {len(chosen) - survived} of {len(chosen)} caught, {share:.0%}")
    return int(share < LEAST_CAUGHT)


if __name__ == "__main__":
    sys.exit(main())
