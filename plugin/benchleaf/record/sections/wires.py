"""Wires as written: each a row of places that are one point."""

import re
from collections.abc import Iterator
from typing import Annotated, Any

from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..line_items import listed
from ..section import described, refused
from ..text import Text
from ..values import Reads, as_text

_JOINT = re.compile(r"\s+(?:to|->|=>|→|=|–|-|joined to|wired to)\s+", re.I)


def _joined(line: Text) -> Iterator[Text]:
    """The places of a line, in a row or with the word that joins each to the next: ``V1 screen to V2 screen``."""
    for name in listed(line):
        start = 0
        for joint in _JOINT.finditer(name):
            yield name.cut(start, joint.start())
            start = joint.end()
        yield name.cut(start)


def _read_wire(value: Any) -> tuple[Text, ...]:
    places = [as_text(v) for v in value] if isinstance(value, list | tuple) else list(_joined(as_text(value)))
    if len({" ".join(place.split()).casefold() for place in places}) < 2:
        raise refused(described(value), "two or more places that are one point, such as “B-, V1 cathode”", at=value)
    if isinstance(value, Text) and value.remarks:
        places[0].remarks = value.remarks
    return tuple(places)


WiredPlaces = Annotated[
    tuple[Text, ...],
    Reads(_read_wire, one_or_more(TEXT_SCHEMA)),
]
"""Places in a row: ``B+2, V1 screen, V2 screen``."""
