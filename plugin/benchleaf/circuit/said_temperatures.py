"""Temperatures among the words of a record: ``field coil 43 °C, room 18 °C``."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..record.quantities import QuantityError, read_quantity

_WARMTH = re.compile(
    r"(?:^|[,;])\s*(?P<of>[^,;]*?\S)\s+(?P<value>[-−]?\d+(?:[.,]\d+)?)\s?(?P<unit>°\s?[CF]|deg\w*\s[CF]|[CF])(?!\w)",
    re.I,
)
ROOM = re.compile(r"\b(?:room|ambient|air|bench)\b", re.I)
_MOST = 20


def temperatures_in(said: str) -> Iterator[tuple[str, float]]:
    """What was read where, in kelvins, in the order written."""
    for found, _ in zip(_WARMTH.finditer(said), range(_MOST), strict=False):
        value = f"{found['value'].replace(',', '.').replace('−', '-')} °{found['unit'].strip()[-1].upper()}"
        try:
            kelvins = read_quantity(value, "temperature").si
        except QuantityError:
            continue
        if kelvins is not None:
            yield found["of"], kelvins
