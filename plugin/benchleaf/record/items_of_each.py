"""A part whose sections stand each in an item of its line with its place: ``20 uF B+1, 20 uF B+2, common B-``."""

from __future__ import annotations

import re
from typing import NamedTuple

from .line_items import items
from .line_values import kind_of_part, value_at, words_of
from .several import JOINING, SECTION_LETTERS
from .spoken import place_at
from .text import Entries, Text
from .trade_words import NOW

_LETTER = re.compile(r"(?P<letter>[a-h])\s*[:)=]?\s+(?=[.\d])", re.I)
_COMMON = re.compile(
    r"(?:common|negatives?|neg\.?)(?:\s+(?:neg(?:ative)?|return|lead))?\s*(?:to|at|is|=|:|-)?\s*(?P<at>\S.*)"
    r"|(?:all\s+)?to\s+(?P<at2>\S.*?)(?:\s+in common)?",
    re.I,
)
_OF_ALL = re.compile(
    rf"(?:{'|'.join(map(re.escape, ('now', *NOW)))}|original|ordered|tested|fitted|checked|why|note)(?!\w)", re.I
)
_OF_ONE = re.compile(r"\d|\b(?:open|o/c|short\w*|OL)\b", re.I)
"""What may be said of the last section alone."""
_FIRST_LETTER = re.compile(r"\D+?\s(?=[a-h]\s*[:)=]?\s+[.\d])", re.I)
_JOINT_BEFORE = re.compile(r"\s+(?:to|at|from|on)\Z", re.I)


class ItemsOfEach(NamedTuple):
    """The ``sections`` by their letters, each as a line of its own, and the ``rest`` of the part's line."""

    sections: Entries
    rest: Text


def items_of_each(line: Text) -> ItemsOfEach | None:
    """What a part's line says of several sections, an item for each; None where it says no such thing.

    Each item begins with a value of the part's kind and has its own ends, its own letter, or one place where another is
    said to be common to all. What stands before the first is said of all. None where it is not plain which section
    something belongs to.
    """
    if not (line.single and kind_of_part(line.manner.part)):
        return None
    said = list(items(line))
    if lead := _FIRST_LETTER.match(said[0]):
        said[:1] = [said[0].cut(0, lead.end()), said[0].cut(lead.end())]
    at = [number for number, item in enumerate(said) if _is_section(item)]
    if len(at) < 2 or len(at) > len(SECTION_LETTERS) or at != list(range(at[0], at[-1] + 1)):
        return None
    shared = ", ".join(said[: at[0]])
    common, behind = None, said[at[-1] + 1 :]
    if behind and (found := _common(behind[0])) is not None:
        common, behind = found, behind[1:]
    of_all = next((number for number, item in enumerate(behind) if _OF_ALL.match(item)), len(behind))
    if not common and any(_OF_ONE.search(item) for item in behind[:of_all]):
        return None
    after = ", ".join(behind[:of_all])
    sections = Entries(line.place, line)
    for letter, item in zip(SECTION_LETTERS, (said[number] for number in at), strict=False):
        named = _LETTER.match(item)
        whole = _with_common(item.cut(named.end()) if named else item, common)
        if whole is None:
            return None
        written = ", ".join(filter(None, (str(whole), shared, after)))
        sections[Text(named["letter"].lower() if named else letter, item.place)] = whole.taken_as(written)
    rest = behind[of_all:]
    left = line.cut(rest[0].place[1] - line.place[1]) if rest else line.cut(len(line))
    return ItemsOfEach(sections, left) if len(sections) == len(at) else None


def _is_section(item: Text) -> bool:
    """Whether an item is a value of the part's kind with a letter before it or a place behind it."""
    letter = _LETTER.match(item)
    plain = item.cut(letter.end()) if letter else item
    words = words_of(plain, strokes=True)
    kind = kind_of_part(item.manner.part)
    value = value_at(plain, words, 0, {kind: ""}) if words else None
    if value is None or plain[words[value.words - 1][1] - 1].isdigit():
        return False
    return letter is not None or _place(plain) is not None


def _place(item: Text) -> tuple[int, int, bool] | None:
    """Where the first place of an item begins and ends, and whether it is joined to another."""
    words = words_of(item, strokes=False)
    for index in range(1, len(words)):
        if found := place_at(item, words, index):
            end = index + found[0]
            joined = end + 1 < len(words) and item[slice(*words[end])].casefold() in JOINING
            second = place_at(item, words, end + 1) if joined else None
            return words[index][0], words[end - 1][1], second is not None
    return None


def _common(item: Text) -> Text | None:
    """The place that is common to all sections: ``common B-``, ``negative to chassis``."""
    found = _COMMON.fullmatch(item)
    place = item.cut(*found.span("at" if found["at"] else "at2")) if found else None
    words = words_of(place, strokes=False) if place is not None else []
    read = place_at(place, words, 0) if place is not None and words else None
    return place if read and read[0] == len(words) else None


def _with_common(item: Text, common: Text | None) -> Text | None:
    """A section's line with both its ends; None where it has but one, and none is common."""
    place = _place(item)
    if place is None or place[2]:
        return item
    start, end, _ = place
    if common is None:
        return None
    before = _JOINT_BEFORE.sub("", item[:start].rstrip())
    return item.taken_as(f"{before} {item[end:].lstrip()}".strip() + f", between {item[start:end]} and {common}")
