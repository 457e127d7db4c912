"""How the tests ask for what a written quantity means."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from benchleaf.record.quantities import (
    AmbiguousQuantity,
    Quantity,
    QuantityError,
    UnreadableQuantity,
    read_quantity,
)

ROWS = [
    json.loads(line)
    for line in (Path(__file__).parent / "facts" / "quantities.jsonl").read_text(encoding="utf-8").splitlines()
]


ONE_KIND = [row for row in ROWS if row["kind"] != "any"]


def outcome(text: str, kind: str) -> tuple[str, Quantity | QuantityError]:
    try:
        return "accept", read_quantity(text, kind)
    except AmbiguousQuantity as question:
        return "ask", question
    except UnreadableQuantity as refusal:
        return "refuse", refusal


def si(text: str, kind: str) -> float | None:
    return read_quantity(text, kind).si


def readings(text: str, kind: str) -> tuple[str, ...]:
    with pytest.raises(AmbiguousQuantity) as caught:
        read_quantity(text, kind)
    return caught.value.readings


def remedy(text: str, kind: str) -> str:
    with pytest.raises(UnreadableQuantity) as caught:
        read_quantity(text, kind)
    return caught.value.remedy
