"""YAML text to a tree of text, each scalar with its line and column.

Built on the parser's event stream: nothing is resolved, so ``no``, ``1e3``, ``12:30`` and a tube number stay what the
writer typed. What a record has no use for (tags, anchors, aliases, merge keys, directives, several documents) is
refused. Nothing recurses on the writer's depth.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import yaml

from .encoding import decode
from .mending import with_colons, without, without_inner_colons
from .problems import Problem
from .syntax import Break, syntax_problem
from .text import Entries
from .tree import Tree

__all__ = ["decode", "read_tree"]

MOST_MENDED = 40
"""Lines that break YAML's rules are told of and passed over, so that the others are told of too; up to so many."""
_MOST_READ = 4_000_000
"""Characters parsed in all, however often a file is read again without its broken lines."""

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


def read_tree(text: str, file: str) -> tuple[Entries | None, list[Problem]]:
    """The record as nested tables, lists and texts, and every problem of its notation.

    A line that breaks YAML's own rules is told of and left out, with what is indented below it, and the rest is read.
    """
    lines = text.split("\n")
    told: list[Problem] = []
    left = _MOST_READ
    while True:
        tree, problem = _read(lines, file)
        if problem is None:
            break
        if not told and (without_inner_colons(lines) or with_colons(lines)):
            continue
        told += [problem] if problem.line not in {p.line for p in told} else []
        left -= sum(map(len, lines))
        if len(told) >= MOST_MENDED or left < 0 or not without(lines, problem.line - 1):
            break
    root, problems = tree.finish(silent=bool(told))
    if root is not None and told:
        root.whole = False
    return root, [*told, *problems]


def _read(lines: list[str], file: str) -> tuple[Tree, Problem | None]:
    """The tree up to the first line that breaks YAML's rules, and the problem of that line."""
    tree = Tree(lines, file)
    try:
        for event in _events("\n".join(lines)):
            if not tree.take(event):
                break
    except yaml.MarkedYAMLError as error:
        return tree, syntax_problem(file, lines, _where(error, tree))
    return tree, tree.stopped


def _where(error: yaml.MarkedYAMLError, tree: Tree) -> Break:
    """Where the parser gave up, and where what it was reading then began, each as line and column from 0."""
    mark = error.problem_mark or error.context_mark
    begun = error.context_mark or mark
    here = (mark.line, mark.column) if mark else (0, 0)
    return Break(here, (begun.line, begun.column) if begun else here, tree.last_quoted)


def _events(text: str) -> Iterator[Any]:
    loader = _Loader(text)
    try:
        while loader.check_event():
            yield loader.get_event()
    finally:
        loader.dispose()
