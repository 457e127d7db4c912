"""Comments that are none, without a blank before them or inside a text of several lines: they would be published."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from .problems import Problem, quoted
from .text import Entries, Listing, Text

_TORN = re.compile(r"(?P<word>\w*)[^\s#\w]?#(?= +[^\s\d]|\d{1,3}[A-Za-z]? +\w|[A-Za-z]{2,}[\w.]* +\w)")
_HEADER = re.compile(r"[|>][-+\d]*#.*")
_IN_BLOCK = re.compile(r"(?:^|(?P<word>\w*)[^\s\w]?[ \t])#(?= +(?:[^\s\d]|\d{5}))", re.M)
_NUMBERED = frozenset([
    "band", "batch", "bulb", "can", "case", "cat", "chan", "channel", "chassis", "choke", "code", "coil", "day",
    "deck", "drawing", "fig", "filter", "gang", "id", "if", "ift", "issue", "item", "knob", "label", "lamp", "lead",
    "lot", "lug", "model", "no", "number", "page", "part", "photo", "picture", "pin", "position", "range", "ref", "run",
    "screw", "section", "serial", "set", "sheet", "sku", "slug", "stage", "step", "stock", "switch", "tab", "tap",
    "terminal", "transformer", "trimmer", "tube", "type", "unit", "valve", "vol", "wafer", "winding", "wire",
])  # fmt: skip
"""Words before a “#” that means a number (common practice, no source): ``part# 70-4``."""
_NEW_LINE = "\n"
_ADDRESS = re.compile(r"\w+://\S*")


def torn_comments(tree: Entries, text: str, file: str) -> list[Problem]:
    """What in the values of a file that holds ``text`` was meant for a comment: ``AC/DC# bought from Joe``.

    In a text of several lines it takes a blank or a new line before it, as a comment does. In quotes it is the writer's
    own.
    """
    if "#" not in text:
        return []
    lines = text.split("\n")
    torn = (_without_a_blank, _behind_the_sign_of_a_block, _in_blocks)
    return [problem for looks in torn for problem in looks(tree, lines, file)]


def _without_a_blank(tree: Entries, lines: Sequence[str], file: str) -> list[Problem]:
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
        for torn in _TORN.finditer(_ADDRESS.sub(lambda found: "-" * len(found[0]), value))
        if torn["word"].casefold() not in _NUMBERED
    ]


def _behind_the_sign_of_a_block(tree: Entries, lines: Sequence[str], file: str) -> list[Problem]:
    """``note: |# from Joe``, which YAML takes for a comment and YAML's rules for none."""
    return [
        Problem.at(
            file,
            value.place,
            "",
            f"{quoted(torn[0])}, with no blank before “#”",
            "a blank before a comment",
            "put a blank before the sign",
        )
        for value in _values(tree)
        if is_block(value, lines) and (torn := _HEADER.match(lines[value.place[0] - 1], value.place[1] - 1))
    ]


def _in_blocks(tree: Entries, lines: Sequence[str], file: str) -> list[Problem]:
    return [
        Problem.at(
            file,
            value.place,
            "",
            f"{quoted(torn[0].lstrip() + value[torn.end() :].partition(_NEW_LINE)[0])}, inside a text of several lines",
            "a comment on a line of its own, above the name",
            "as it is typed, what stands behind the sign is published; leave the sign out where it is to be",
        )
        for value in _values(tree)
        if is_block(value, lines)
        for torn in _IN_BLOCK.finditer(value)
        if (torn["word"] or "").casefold() not in _NUMBERED
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


def is_block(value: Text, lines: Sequence[str]) -> bool:
    """Whether a value is a text of several lines behind ``|`` or ``>``."""
    line, column = value.place
    return not value.single and line <= len(lines) and lines[line - 1][column - 1 : column] in ("|", ">")


def _is_plain(value: Text, lines: Sequence[str]) -> bool:
    """Whether a value stands on one line as it was typed, without quotes."""
    line, column = value.place
    typed = lines[line - 1] if line <= len(lines) else ""
    return value.single and typed.startswith(str(value), column - 1) and typed[: column - 1][-1:] not in ("'", '"')
