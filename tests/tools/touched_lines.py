"""The lines that run when a place in a module matters: its statement, or where a name given at import is used."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path

Lines = Mapping[str, frozenset[int]]
"""Of modules by their path in the package: line numbers, from 1."""
_STEPS = 3
"""A constant may be made of constants; further than this none is."""


@cache
def touched(package: Path, path: str, line: int) -> Lines:
    """Lines of the package that run where ``line`` of a module has an effect.

    Inside a function these are the lines of its statement. What runs at import (a constant, a default, a field) has its
    effect where its name is used, in this module or in one that imports it.
    """
    statement, inside = _statement(_tree(package / path), line)
    if inside:
        return {path: frozenset(_head(statement))}
    wanted, seen, found = _names(statement), set[str](), dict[str, set[int]]()
    for _ in range(_STEPS):
        if not (fresh := wanted - seen):
            break
        seen |= fresh
        wanted = set()
        for module in _using(package, path, frozenset(fresh)):
            for at, text in enumerate(_text(package / module).splitlines(), 1):
                if not re.search(rf"\b(?:{'|'.join(map(re.escape, fresh))})\b", text):
                    continue
                user, runs = _statement(_tree(package / module), at)
                if runs:
                    found.setdefault(module, set()).update(_head(user))
                elif not isinstance(user, ast.Import | ast.ImportFrom):
                    wanted |= _names(user)
    return {module: frozenset(lines) for module, lines in found.items()}


def as_before(lines: frozenset[int], now: str, before: str) -> frozenset[int]:
    """The numbers that lines had in a text before it was changed; those that are new have the next above them."""
    if now == before:
        return lines
    match = SequenceMatcher(None, before.splitlines(), now.splitlines(), autojunk=False)
    at = [1] * (len(now.splitlines()) + 2)
    for old, new, count in match.get_matching_blocks():
        for step in range(count):
            at[new + step + 1] = old + step + 1
    for number in range(1, len(at)):
        at[number] = at[number] if at[number] != 1 else at[number - 1]
    return frozenset(at[line] for line in lines)


@cache
def _text(file: Path) -> str:
    return file.read_text(encoding="utf-8")


@cache
def _tree(file: Path) -> ast.Module:
    return ast.parse(_text(file))


def _statement(tree: ast.Module, line: int) -> tuple[ast.stmt, bool]:
    """The innermost statement of a line, and whether it runs when a function is called."""
    found, inside, body = tree.body[0], False, list(_inner(tree))
    while body:
        here = [s for s in body if min([s.lineno, *_decorators(s)]) <= line <= (s.end_lineno or s.lineno)]
        if not here:
            break
        head = here[-1]
        runs = isinstance(found, ast.FunctionDef) or inside
        found, inside = head, runs
        body = list(_inner(head))
    if isinstance(found, ast.FunctionDef) and line >= found.body[0].lineno:
        inside = True
    return found, inside


def _decorators(statement: ast.stmt) -> list[int]:
    return [d.lineno for d in getattr(statement, "decorator_list", [])]


def _inner(node: ast.AST) -> Iterator[ast.stmt]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.stmt):
            yield child
        elif isinstance(child, ast.ExceptHandler | ast.match_case):
            yield from child.body


def _head(statement: ast.stmt) -> range:
    """The lines of a statement that are its own, not those of what stands inside it."""
    body = list(_inner(statement))
    end = max(body[0].lineno - 1, statement.lineno) if body else statement.end_lineno or statement.lineno
    return range(statement.lineno, end + 1)


def _names(statement: ast.stmt) -> set[str]:
    """What a statement that runs at import gives a name to."""
    match statement:
        case ast.FunctionDef(name=name) | ast.ClassDef(name=name):
            return {name}
        case ast.Assign(targets=targets):
            return {n.id for target in targets for n in ast.walk(target) if isinstance(n, ast.Name)}
        case ast.AnnAssign(target=ast.Name(id=name)):
            return {name}
        case _:
            return set()


def _using(package: Path, path: str, names: frozenset[str]) -> list[str]:
    """The module itself, and those that import one of the names or ask for it of what they import."""
    said = re.compile(rf"\b(?:{'|'.join(map(re.escape, names))})\b")
    private = all(name.startswith("_") for name in names)
    files = [package / path] if private else sorted(package.rglob("*.py"))
    return [f.relative_to(package).as_posix() for f in files if said.search(_text(f))]
