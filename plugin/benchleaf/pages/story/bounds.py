"""How much work a story asks of the Markdown library, estimated before it is handed over.

The library is quick on prose and slow, by the square of the length, on text made to be slow: thousands of brackets that
never close, headings run together, fences of a thousand different lengths. The estimate is one pass over the text.
Its weights were measured on the library and stand for about 12 nanoseconds each on a two-core machine.
"""

from __future__ import annotations

import re
from itertools import groupby

LARGEST_STORY = 1_000_000
"""Characters in all the parts of one story together."""

WORK_LIMIT = 50_000_000
"""Units of estimated work a story may ask for, about half a second. A megabyte of prose asks for 40 million."""

DEEPEST_NESTING = 20
"""Quotations and lists one inside the other: the library calls itself again for each."""

_LISTED = re.compile(r"^\s*(?:[-*+>|]|\d+\.)", re.MULTILINE)
_HEADED = re.compile(r"^ {0,3}(?:#|[-=*_ ]+$)", re.MULTILINE)
_FENCE = re.compile(r"^(`{3,}|~{3,})", re.MULTILINE)
_TICKS = re.compile(r"`+")
_SPACES = re.compile(r" {100,}")
_INDENT = re.compile(r"^ +", re.MULTILINE)
_INLINE = re.compile(r"[*_`<&!\\]|\]\(|\[\[")
_TOO_DEEP = re.compile(
    rf"^[ \t]*(?:(?:>|[-*+][ \t]|\d+\.[ \t])[ \t]*){{{DEEPEST_NESTING + 1}}}"
    rf"|^ {{{4 * (DEEPEST_NESTING + 1)},}}(?:>|[-*+] |\d+\. )",
    re.MULTILINE,
)


def _open_distance(block: str) -> int:
    """Characters the library reads again looking for the end of each bracket that stands open."""
    distance = 0
    brackets: list[int] = []
    parentheses: list[int] = []
    for at, letter in enumerate(block):
        if letter == "[":
            brackets.append(at)
        elif letter == "]" and brackets:
            distance += at - brackets.pop()
        elif letter == "(" and at and block[at - 1] in "](":
            parentheses.append(at)
        elif letter == ")" and parentheses:
            distance += at - parentheses.pop()
    return distance + sum(len(block) - at for at in brackets + parentheses)


def block_work(block: str) -> int:
    """Estimated work of one block, the lines between two blank ones, in units of about 12 ns."""
    block = block.expandtabs(4)
    length = len(block)
    return (
        3_000
        + 25 * length
        + 45 * _open_distance(block)
        + 4 * length * len(_HEADED.findall(block))
        + (2_000 + length // 30) * len(_INLINE.findall(block))
        + 2_000 * len(_LISTED.findall(block))
        + 300 * sum(map(len, _INDENT.findall(block)))
        + sum(len(run) ** 2 for run in _SPACES.findall(block)) // 6
        + 1_000 * block.count("|")
        + 3 * length * len(set(_TICKS.findall(block)))
        + (WORK_LIMIT if _TOO_DEEP.search(block) else 0)
    )


def heaviest_line(text: str) -> tuple[int, int]:
    """Estimated work of a whole text in units of about 12 ns, and the line where its heaviest block begins."""
    total = 5 * len(text) * len(set(_FENCE.findall(text)))
    heaviest, heaviest_at = 0, 1
    line = 1
    for blank, group in groupby(text.split("\n"), key=lambda row: not row.strip()):
        rows = list(group)
        if not blank:
            work = block_work("\n".join(rows))
            total += work
            if work > heaviest:
                heaviest, heaviest_at = work, line
        line += len(rows)
    return total, heaviest_at
