"""A line of a record parted into its items, and at its remark."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from .text import Text
from .written_days import comma_in_date

_SENTENCE = re.compile(r"(?<=[\w%)])\.\s+(?=[A-Z])")
_SEMICOLON = re.compile(r";(?=\s|$)")
_BREAK = re.compile(rf"{_SEMICOLON.pattern}|{_SENTENCE.pattern}")


def items(text: Text) -> Iterator[Text]:
    """The items of a line. A comma with no blank after it does not end an item: ``0,05 uF`` is one value."""
    start = 0
    for comma in re.finditer(r",(?=\s|$|,)", text):
        if not comma_in_date(text, comma.start()):
            yield text.cut(start, comma.start())
            start = comma.end()
    yield text.cut(start)


def without_brackets(text: Text) -> Text:
    """A text without the brackets around all of it, or the one that was opened before it."""
    if text.endswith(")") and (text.startswith("(") or "(" not in text):
        return text.cut(1 if text.startswith("(") else 0, len(text) - 1)
    return text


def listed(text: Text) -> list[Text]:
    """Names in a row, separated by comma and blank or by ``and``: ``V5, V4 and V2``."""
    found: list[Text] = []
    for item in items(text):
        start = 0
        for joint in re.finditer(r"\s+(?:and|&)\s+", item):
            found.append(item.cut(start, joint.start()))
            start = joint.end()
        found.append(item.cut(start))
    return [name for name in found if name]


def body_and_remark(text: Text, opens: Callable[[Text], bool] | None) -> tuple[list[Text], Text | None]:
    """A line parted at its semicolon: what is read, in pieces, and the remark behind it, None where there is none.

    ``opens`` says whether a text begins with a word that opens a key. Where it is given, such a text is no remark, and
    begins a piece of its own behind the end of a sentence too.
    """
    pieces: list[Text] = []
    start = 0
    for mark in (_BREAK if opens else _SEMICOLON).finditer(text):
        rest = text.cut(mark.end())
        if opens and opens(rest):
            pieces.append(text.cut(start, mark.start()))
            start = mark.end()
        elif text[mark.start()] == ";":
            return [*pieces, text.cut(start, mark.start())], rest or None
    return [*pieces, text.cut(start) if start else text], None
