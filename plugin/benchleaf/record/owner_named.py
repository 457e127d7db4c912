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
_BEFORE_A_PERSON = r"[Tt]o|[Ff]or|[Ff]rom|[Bb]y|[Ww]ith|[Oo]f|[Mm]rs?\.?|[Mm]s\.?|[Mm]iss|[Tt]old|[Cc]alled|[Rr]ang|and"
"""What stands before a name that is written small."""
_SIGNED = ("by", "member")
"""Where a writer publishes a name on purpose."""


def owner_remarks(record: Record, file: str) -> list[Remark]:
    """A remark on each text outside ``owner`` that has one of the owner's names, as it is published."""
    public = {word.casefold() for field in _SIGNED for word in _NAME.findall(str(getattr(record, field) or ""))}
    names = [name for name in _names_of(str(record.owner or "")) if name.casefold() not in public]
    if not names:
        return []
    any_of = _written_in_any_way(names)
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


def _names_of(owner: str) -> list[str]:
    """The names among an owner's words: those with a capital; of one without any, what stands before a comma."""
    words = _NAME.findall(owner if owner != owner.casefold() else re.split(r"[,;(]", owner)[0])
    kept = (word for word in words if word.casefold() not in _NO_NAME)
    return [word for word in kept if word[0].isupper() or owner == owner.casefold()]


def _written_in_any_way(names: Sequence[str]) -> re.Pattern[str]:
    """A name with its capital anywhere; in small letters where a person is meant: ``back to leona``, ``brandt’s``."""
    spelled = {form for name in names for form in (name[0].upper() + name[1:], name.capitalize(), name.upper())}
    capital = "|".join(re.escape(form) for form in sorted(spelled))
    small = "|".join(re.escape(name.casefold()) for name in names)
    a_person = rf"(?:{_BEFORE_A_PERSON})\s+(?:{small})\b|\b(?:{small})(?:['’]s\b|\s+(?:{small})\b)"
    return re.compile(rf"\b(?:{capital})\b|\b{a_person}")


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
