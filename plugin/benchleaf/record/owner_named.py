"""Where a record's published sentences have the name that stands under ``owner``: it is kept private there alone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from .remarks import Remark
from .section import Section
from .text import Text

if TYPE_CHECKING:
    from .model import Record

_NAME = re.compile(r"[^\W\d_][\w'’-]{2,}")
_NO_NAME = frozenset(
    [
        "the",
        "and",
        "von",
        "van",
        "der",
        "den",
        "ten",
        "ter",
        "del",
        "mrs",
        "miss",
        "mevr",
        "mevrouw",
        "heer",
        "herr",
        "frau",
        "family",
        "familie",
        "club",
        "museum",
        "society",
        "collection",
        "neighbour",
        "neighbor",
        "friend",
    ]
)
"""Words of an owner that are nobody's name, though a capital may begin them."""
_SIGNED = ("by", "member")
"""Where a writer publishes a name on purpose."""


def owner_remarks(record: Record, file: str) -> list[Remark]:
    """A remark on each text outside ``owner`` that has one of the owner's names, as it is published."""
    public = {word for field in _SIGNED for word in _NAME.findall(str(getattr(record, field) or ""))}
    names = [name for name in _NAME.findall(str(record.owner or "")) if _is_name(name) and name not in public]
    if not names:
        return []
    any_of = re.compile(rf"\b(?:{'|'.join(map(re.escape, names))})\b")
    own = type(record).PRIVATE
    found = (
        (text, match)
        for field in type(record).model_fields
        if field not in own
        for text in _texts(getattr(record, field))
        if (match := any_of.search(text)) and text.place
    )
    said = "a name that stands under “owner”, which is private, stands here too, and this line is published"
    return sorted({Remark(file, *text.place, "", said) for text, _ in found})


def _is_name(word: str) -> bool:
    return word[0].isupper() and word.casefold() not in _NO_NAME


def _texts(value: object) -> Iterator[Text]:
    """Every text of the writer's in a value, names of entries among them."""
    waiting = [value]
    while waiting:
        one = waiting.pop()
        if isinstance(one, Text):
            yield one
        elif isinstance(one, Section):
            waiting += [getattr(one, field) for field in type(one).model_fields]
        elif isinstance(one, Mapping):
            waiting += [*one, *one.values()]
        elif isinstance(one, Sequence) and not isinstance(one, str):
            waiting += one
