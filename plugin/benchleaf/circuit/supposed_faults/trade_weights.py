"""How often which fault is met, and the sizes that it is tried in: ``trade_weights.csv``, by common practice."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

__all__ = ["BAD", "NOTHING_WRONG", "Trade", "sizes"]

BAD = 10.0
"""What a part that was measured bad is heavier by. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Trade:
    """A fault of a kind of part in one size. ``does`` says what the size is of: ``times`` the ohms, ``across`` ohms …

    ``at`` is the electrode that the row holds for, empty where it holds for any.
    """

    of: str
    at: str
    fault: str
    does: str
    size: float
    weight: float


def sizes(of: str, at: str = "") -> Iterator[Trade]:
    """The faults of a kind of part, each size by itself; a row's weight is shared by its sizes.

    What a row says of the electrode ``at`` goes before what holds for any.
    """
    rows = [row for row in _rows() if row.of == of]
    own = {row.fault for row in rows if row.at and row.at == at}
    yield from (row for row in rows if row.at == (at if row.fault in own else ""))


@cache
def _rows() -> tuple[Trade, ...]:
    with Path(__file__).with_name("trade_weights.csv").open(encoding="utf-8", newline="") as file:
        return tuple(one for row in csv.DictReader(file) for one in _of_row(row))


def _of_row(row: dict[str, str]) -> Iterator[Trade]:
    found = row["sizes"].split() or ["nan"]
    for size in found:
        yield Trade(row["of"], row["at"], row["fault"], row["does"], float(size), float(row["weight"]) / len(found))


NOTHING_WRONG = next(sizes("nothing")).weight
"""The weight of a set in which nothing is wrong."""
