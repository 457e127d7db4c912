"""A record's own text as it may be handed on: without its private lines and its comments, all else as it was typed.

Lines and ends of lines are taken out where the parser says that they are, and nothing is written anew. What comes of it
is read again and held against what was there: a text that would say anything else is not handed on.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

import yaml

from .adding.written_nodes import WrittenNode, WrittenScalar, WrittenTable, folded_name, last_line, written_nodes
from .mapping import as_yaml
from .model import Record
from .reader import decode, read_tree
from .tree import lamp_behind

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_COMMENT = re.compile(r"(?:^|(?<=[ \t]))#")


class NotHandedOnError(Exception):
    """A private line cannot be taken out by itself: line and column (from 1), what was found, what to do."""

    def __init__(self, place: tuple[int, int], found: str, remedy: str) -> None:
        super().__init__(found)
        self.place, self.found, self.remedy = place, found, remedy


def without_private_lines(data: bytes) -> str:
    """The text of a record that was read without a problem, as it may be handed on; the same for what it gave before.

    Raises NotHandedOnError where private and other things stand on one line, or what is left would say something else.
    """
    text = decode(data, "")[0]
    root = written_nodes(text)
    lines = text.split("\n")
    kept = [_bare(line, comment) for line, comment in zip(lines, _comments(lines, text), strict=True)]
    for first, last in _private(root, lines):
        kept[first : last + 1] = [None] * (last + 1 - first)
    made = "\n".join(line for line in kept if line is not None).strip("\n") + "\n"
    said = _as_read(text, private_names())
    if said is None or _as_read(made, frozenset()) != said:
        remedy = "write the private line by itself, with nothing else on it"
        raise NotHandedOnError((1, 1), "private lines and comments that cannot be parted from the rest", remedy)
    return made


def private_values(data: bytes) -> tuple[str, ...]:
    """What stands on a record's private lines, so that it can be looked for elsewhere."""
    root = written_nodes(decode(data, "")[0])
    return tuple(value.value.strip() for _, value in _private_entries(root) if isinstance(value, WrittenScalar))


def private_names() -> frozenset[str]:
    """The names of the private lines, in small letters."""
    return frozenset(name.casefold() for name in Record.private_words())


def _as_read(text: str, private: frozenset[str]) -> str | None:
    tree, problems = read_tree(text, "")
    return None if tree is None or problems else as_yaml(tree, tuple(private))


def _private_entries(root: WrittenTable) -> Iterator[tuple[WrittenScalar, WrittenNode]]:
    return (entry for entry in root.entries if folded_name(entry[0].value) in private_names())


def _private(root: WrittenTable, lines: list[str]) -> Iterator[tuple[int, int]]:
    """The first and the last line (from 0) of each private entry, and of names without a value."""
    for name, value in _private_entries(root):
        if root.in_braces:
            place = (name.start[0] + 1, name.start[1] + 1)
            remedy = "write each name on a line of its own, without braces around all of them"
            raise NotHandedOnError(place, f"a private line inside braces, “{folded_name(name.value)}”", remedy)
        yield name.start[0], max(name.end[0], last_line(value, lines))


def _bare(line: str, comment: int | None) -> str | None:
    """A line without the comment that begins at a column; None for one that holds nothing else."""
    if comment is None:
        return line
    left = line[:comment].rstrip()
    return left or None


def _comments(lines: list[str], text: str) -> Iterator[int | None]:
    """Where on each line a comment begins; a lamp that is called by its number is none."""
    texts = _written_texts(text)
    for number, line in enumerate(lines):
        yield _comment(line, texts.get(number, ()))


def _comment(line: str, texts: Sequence[tuple[int, int]]) -> int | None:
    """Where on a line a comment begins, outside the columns of its ``texts``; None where none does."""
    at = 0
    while found := _COMMENT.search(line, at):
        inside = next((end for begin, end in texts if begin <= found.start() < end), None)
        lamp = lamp_behind(line, found.start()) if inside is None and line[: found.start()].strip() else None
        if inside is None and lamp is None:
            return found.start()
        at = max(found.end(), lamp.end("behind") if lamp else 0, min(inside or 0, len(line)))
        if at >= len(line):
            break
    return None


def _written_texts(text: str) -> dict[int, list[tuple[int, int]]]:
    """The columns, from and up to, that texts in quotes or blocks take of each line (from 0): no comment is in them."""
    found: dict[int, list[tuple[int, int]]] = {}
    loader = _Loader(text)
    try:
        while loader.check_event():
            event = loader.get_event()
            if isinstance(event, yaml.ScalarEvent) and event.style:
                first: Any = event.start_mark
                last: Any = event.end_mark
                block = event.style in ("|", ">")
                for number in range(first.line + block, last.line + 1):
                    begin = first.column if number == first.line else 0
                    end = last.column if number == last.line else len(text)
                    found.setdefault(number, []).append((begin, end))
    finally:
        loader.dispose()
    return found
