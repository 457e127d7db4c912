"""Wires as written: each a row of places that are one point."""

from typing import Annotated, Any

from ..editor_schema import TEXT_SCHEMA, one_or_more
from ..line_items import listed
from ..section import described, refused
from ..text import Text
from ..values import Reads, as_text


def _read_wire(value: Any) -> tuple[Text, ...]:
    places = [as_text(v) for v in value] if isinstance(value, list | tuple) else listed(as_text(value))
    if len({" ".join(place.split()).casefold() for place in places}) < 2:
        raise refused(described(value), "two or more places that are one point, such as “B-, V1 cathode”", at=value)
    return tuple(places)


WiredPlaces = Annotated[
    tuple[Text, ...],
    Reads(_read_wire, one_or_more(TEXT_SCHEMA)),
]
"""Places in a row: ``B+2, V1 screen, V2 screen``."""
