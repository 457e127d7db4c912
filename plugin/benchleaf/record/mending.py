"""A file that breaks YAML's rules in one place, read on without that place."""

from __future__ import annotations

import re

_NAMED = re.compile(r"( *(?:- +)*[^\s:#'\"\[\]{},&*!|>%@`?-][^:#]*:)(?:\s|$)")


def without(lines: list[str], number: int) -> bool:
    """Take what cannot be read out of line ``number`` (from 0), in place; False where there is nothing left to take.

    The first time the value is taken out and the name kept, so that what is indented below still has its place; the
    second time the line itself, with what is indented below it. Lines are emptied: the others keep their numbers.
    """
    line = lines[number]
    if not line.strip():
        return False
    named = _NAMED.match(line)
    if named and line[named.end(1) :].strip():
        lines[number] = named[1]
        return True
    depth = _indent(line)
    lines[number] = ""
    if line[depth] == "\t":
        return True
    for below in range(number + 1, len(lines)):
        if lines[below].strip() and _indent(lines[below]) <= depth:
            break
        lines[below] = ""
    return True


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
