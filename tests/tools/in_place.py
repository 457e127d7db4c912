"""A change of a module put into the module as it is loaded, so that nothing need be loaded again to try it."""

from __future__ import annotations
import __future__

import ast
import functools
import sys
from collections.abc import Iterator
from types import CodeType, FunctionType, ModuleType


def put_in_place(module: ModuleType, line: int, source: str) -> bool:
    """Make a loaded module do what ``source``, its text with a change in ``line``, says; whether that could be done.

    What stands inside a function takes the place of its code. A name that is given a value at import is given it anew,
    with what the module makes of it at import, and so it is in each module that has the name from there. A class's
    fields and a function's defaults are not changed.
    """
    tree = ast.parse(source)
    way, function = [], None
    body = tree.body
    while here := next((s for s in body if s.lineno <= line <= (s.end_lineno or s.lineno)), None):
        if isinstance(here, ast.FunctionDef):
            function = here
            break
        if not isinstance(here, ast.ClassDef):
            break
        way.append(here.name)
        body = here.body
    if function is not None:
        code = _code(compile(source, module.__name__, "exec"), [*way, function.name], function.lineno)
        known = _function(module, [*way, function.name])
        if line < function.body[0].lineno or code is None or known is None:
            return False
        if len(code.co_freevars) != len(known.__code__.co_freevars):
            return False
        known.__code__ = code
        return True
    return not way and isinstance(here, ast.Assign | ast.AnnAssign) and _given_anew(module, tree, here)


def _code(whole: CodeType, way: list[str], line: int) -> CodeType | None:
    """The code of a function, through the classes it stands in."""
    for name in way:
        inside = [c for c in whole.co_consts if isinstance(c, CodeType) and c.co_name == name]
        if not inside:
            return None
        whole = min(inside, key=lambda code: abs(code.co_firstlineno - line))
    return whole


def _function(module: ModuleType, way: list[str]) -> FunctionType | None:
    """The function that a module has by a name, from under what was put around it."""
    found: object = module
    for name in way:
        found = vars(found).get(name)
        if found is None:
            return None
    while not isinstance(found, FunctionType):
        if isinstance(found, functools.cached_property):
            found = found.func
        elif isinstance(found, property):
            found = found.fget
        elif (inner := getattr(found, "__wrapped__", None)) is not None:
            found = inner
        else:
            return None
    return found


def _given_anew(module: ModuleType, tree: ast.Module, changed: ast.stmt) -> bool:
    fresh = set(_given(changed))
    for statement in tree.body[tree.body.index(changed) :]:
        used = {n.id for n in ast.walk(statement) if isinstance(n, ast.Name)}
        if not isinstance(statement, ast.Assign | ast.AnnAssign) or not (statement is changed or used & fresh):
            continue
        names = [name for name in _given(statement) if name in vars(module)]
        before = {name: vars(module)[name] for name in names}
        code = compile(ast.Module([statement], []), module.__name__, "exec", __future__.annotations.compiler_flag)
        exec(code, vars(module))
        fresh |= set(names)
        for name, old in before.items():
            for other in list(sys.modules.values()):
                if vars(other).get(name) is old:
                    setattr(other, name, vars(module)[name])
    return True


def _given(statement: ast.stmt) -> Iterator[str]:
    """The names that an assignment gives a value to."""
    targets = statement.targets if isinstance(statement, ast.Assign) else [getattr(statement, "target", statement)]
    yield from (n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name))
