"""What a part's or change's line says in words that its commas and marks would take apart."""

from __future__ import annotations

import re
from collections.abc import Collection

from .forms import Form
from .line_items import items
from .text import Text

_WHY = re.compile(r"(?:why|reason)\s*:?\s+(?=\S)", re.I)
_FURTHER = re.compile(r"[\d;()]")
"""What ends a reason: figures are values, a semicolon begins a remark."""
_BRIDGE_CODE = re.compile(r"(?:^|(?<=,\s))(?=(?:bridge\s+)?B\d{2,3}\s?C\s?\d{2,4}(?:\s+bridge)?\s*(?:,|;|$))", re.I)
"""A bridge by the code of its volts and milliamperes: ``bridge B250 C85``."""
_SEVERAL_DIODES = re.compile(r"(?:^|(?<=,\s))(?=(?:AA|BA|BY|OA|1N)\s?\d{2,4}\w?\s+[x×]\s?\d\s*(?:,|;|$))", re.I)
"""So many diodes of a type, ``OA81 x2``: no capacitor of class X2."""


def with_names_as_note(line: Text) -> Text:
    """A part's line in which a type that no value goes with, ``OA81 x2``, is told to be its note."""
    for pattern in (_BRIDGE_CODE, _SEVERAL_DIODES):
        if found := pattern.search(line):
            line = line.taken_as(f"{line[: found.start()]}note {line[found.start() :]}")
    return line


def words_of_form(form: Form | None) -> frozenset[str]:
    """Every word that may begin an item of a line, in small letters, those of the lines within it too."""
    if form is None:
        return frozenset()
    own = {word.casefold() for word in (*form.heads, *form.words, *form.synonyms, *form.groups)}
    return frozenset(own.union(*(words_of_form(group) for group in form.groups.values())))


def reason_apart(line: Text, known: Collection[str]) -> tuple[Text, Text | None]:
    """A line without what follows its ``why`` behind a comma, and that reason whole; None where no comma parts it.

    ``known`` are the words that begin another item: a reason ends before one, and before any figure.
    """
    start, said, last = 0, None, None
    for item in items(line):
        at = line.index(str(item), start) if item else start
        start = at + len(item)
        if said is None:
            head = _WHY.match(item)
            said = (at + head.end(), start) if head and ";" not in item else None
        elif not item or _FURTHER.search(item) or _begins_another(item, known):
            break
        else:
            last = start
    if said is None or last is None:
        return line, None
    begins, ends = said
    shortened = line.taken_as(f"{line[:ends]}{' ' * (last - ends)}{line[last:]}")
    return shortened, line.cut(begins, last)


def _begins_another(item: Text, known: Collection[str]) -> bool:
    words = item.casefold().split()
    return any(" ".join(words[:n]).rstrip(":") in known for n in (1, 2, 3))
