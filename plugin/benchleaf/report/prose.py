"""The writer's own words as a phrase: names that can be linked are links, values stand in the trade's units."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache

from ..record.quantities import Quantity, QuantityError, read_any
from .amount import Origin
from .anchors import LinkedText
from .sentence import Link, Phrase, PhrasePart
from .typed import typed

_KINDS = ("voltage", "current", "resistance", "capacitance", "inductance", "power", "frequency", "duration")
_VALUE = re.compile(
    r"(?<![\w.,+−-])[+−-]?(?:\d+[.,]\d+|\d+|\.\d+)\s?"
    r"(?:[munµμ]?A|[muµμ]?V|kV|[mkuµμ]?W|[MkG]?(?:ohms?|Ω)|meg(?:ohms?)?|[munpµμ]?F|mfd|mmfd?|[munµμ]?H|[kM]?Hz|h|min|s)"
    r"(?![\w%])"
)

ReadAt = Collection[tuple[float, str]]
"""Values, each in its SI unit, that the record has as readings."""


EVERY = None
"""In place of such values: all that the text has are readings."""


def prose(pieces: Iterable[LinkedText], *, read: ReadAt | None = ()) -> Phrase:
    """A run of the writer's text. A value that is among ``read`` is set as measured, any other as the words around it.

    Only a value that can mean one thing is said in the trade's units; everything else stays as typed.
    """
    return tuple(part for piece in pieces for part in _parts(piece, read))


def as_prose(text: str, *, read: ReadAt | None = ()) -> Phrase:
    """The same for a text in which nothing is linked."""
    return prose((LinkedText(text),), read=read) if text else ()


def _parts(piece: LinkedText, read: ReadAt | None) -> Iterator[PhrasePart]:
    if piece.anchor:
        yield Link(piece.text, piece.anchor)
        return
    end = 0
    for match in _VALUE.finditer(piece.text):
        value = _value(match[0], read)
        if match.start() > end:
            yield piece.text[end : match.start()]
        yield from value or (match[0],)
        end = match.end()
    if end < len(piece.text):
        yield piece.text[end:]


def _value(text: str, read: ReadAt | None) -> Phrase:
    quantity = _quantity(text.strip())
    if quantity is None or quantity.si is None:
        return ()
    measured = read is EVERY or (quantity.si, quantity.unit) in read
    said = typed(quantity)
    return said.as_read(Origin.MEASURED if measured else Origin.STATED) if said else ()


@lru_cache(maxsize=1024)
def _quantity(text: str) -> Quantity | None:
    """A fault's words are set in table, sentence and working, and read once."""
    try:
        return read_any(text, _KINDS)
    except QuantityError:
        return None


def capitalised(phrase: Phrase) -> Phrase:
    """The phrase with a capital at its head, where it begins with words."""
    if phrase and isinstance(phrase[0], str):
        return (phrase[0][:1].upper() + phrase[0][1:], *phrase[1:])
    return phrase
