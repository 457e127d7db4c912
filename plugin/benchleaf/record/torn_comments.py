"""Comments that a blank is missing before: as the notation has it they are text, and would be published."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from .problems import Problem, quoted
from .text import Entries, Listing, Text

_TORN = re.compile(r"(?P<word>\w*)[^\s#\w]?#(?= +[^\s\d])")
_NUMBERED = frozenset([
    "case", "chassis", "code", "drawing", "fig", "item", "label", "lot", "model", "page", "part", "run", "serial",
    "sheet", "stock", "tube", "type", "valve",
])  # fmt: skip
"""Words before a “#” that means a number (common practice, no source): ``part# 70-4``."""


def torn_comments(tree: Entries, text: str, file: str) -> list[Problem]:
    """What in the values of a file that holds ``text`` was meant for a comment: ``AC/DC# bought from Joe``.

    In quotes, and in a text of several lines, it is the writer's own.
    """
    if "# " not in text:
        return []
    lines = text.split("\n")
    return [
        Problem.at(
            file,
            value.at(torn.end() - 1),
            "",
            f"{quoted(value)}, with no blank before “#”",
            "a blank before a comment",
            "as it is typed, what stands behind the sign is published; put the whole in quotes where it is to be",
        )
        for value in _values(tree)
        if _is_plain(value, lines)
        for torn in _TORN.finditer(value)
        if torn["word"].casefold() not in _NUMBERED
    ]


def _values(node: Entries | Listing) -> Iterator[Text]:
    waiting: list[Entries | Listing] = [node]
    while waiting:
        one = waiting.pop()
        for value in one.values() if isinstance(one, Entries) else one:
            if isinstance(value, Entries | Listing):
                waiting.append(value)
            elif isinstance(value, Text):
                yield value


def _is_plain(value: Text, lines: Sequence[str]) -> bool:
    """Whether a value stands on one line as it was typed, without quotes."""
    line, column = value.place
    typed = lines[line - 1] if line <= len(lines) else ""
    return value.single and typed.startswith(str(value), column - 1) and typed[: column - 1][-1:] not in ("'", '"')
