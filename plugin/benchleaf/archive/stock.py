"""What is in the drawer: a spreadsheet with a line for each sort of part, its count and, if wanted, its price."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from ..record.problems import Problem, quoted
from ..record.saved_table import headed, saved_table
from ..record.slips import Slips

_FIELD = "stock"
_HEADINGS = {
    "part": "part",
    **dict.fromkeys(("count", "number", "quantity", "qty", "pieces", "in stock"), "count"),
    **dict.fromkeys(("price", "price each", "unit price", "each"), "price"),
}
_LONGEST_PART = 300
"""Characters of a part in the drawer; to read one that is longer takes seconds."""
_PRICE = re.compile(r"\s*(?:([A-Z]{3}|[£$€])\s*)?(\d+(?:[.,]\d{1,4})?)\s*([A-Z]{3}|[£$€])?\s*")
_SIGNS = {"£": "GBP", "$": "USD", "€": "EUR"}


@dataclass(frozen=True, slots=True)
class InDrawer:
    """``count`` parts of one sort: ``value`` in ``unit`` (F, ohm, H), what they are rated for, and the price of one.

    ``volts`` are of a rating on DC, ``ac_volts`` RMS of one on AC.
    """

    written: str
    count: int
    value: float
    unit: str
    volts: float | None = None
    watts: float | None = None
    type: str = ""
    safety_class: str = ""
    price: Decimal | None = None
    currency: str = ""
    ac_volts: float | None = None


def read_stock(data: bytes, file: str) -> tuple[tuple[InDrawer, ...], list[Problem]]:
    """The drawer, and a problem for each line that cannot be read; the other lines count."""
    slips = Slips(file)
    table, problems = saved_table(data, file, "a list of parts")
    if table is None:
        return (), problems
    head = headed(table, _HEADINGS, ("part", "count"))
    columns = [meant for meant, _ in head.columns] if head else []
    if head is None or "part" not in columns or "count" not in columns:
        first = table.rows[0] if table.rows else ()
        slips.add(None, _FIELD, quoted(", ".join(first) or "nothing"), "the headings part, count and, if wanted, price")
        return (), [*problems, *slips.problems()]
    found: list[InDrawer] = []
    for cells in head.rows:
        row = {column: str(cell) for column, cell in zip(columns, cells, strict=False) if column}
        entry = _entry(row)
        if isinstance(entry, InDrawer):
            found.append(entry)
        else:
            slips.add(cells[0], _FIELD, *entry)
    return tuple(found), [*problems, *slips.problems()]


def _entry(row: dict[str, str]) -> InDrawer | tuple[str, str]:
    from pydantic import ValidationError
    from pydantic_core import PydanticCustomError

    from ..circuit.pieces import seen
    from ..record.sections.parts import read_components

    written = row.get("part", "").lstrip("'")
    if len(written) > _LONGEST_PART:
        return f"{quoted(written)}, {len(written):,} characters", f"one part in at most {_LONGEST_PART}"
    try:
        components = read_components(written)
    except (ValidationError, PydanticCustomError):
        components = ()
    part = seen(components[0]) if len(components) == 1 else None
    if part is None or not part.value or part.value < 0:
        return quoted(written), "one part with its value, such as “47 nF 630 V film”"
    count = row.get("count", "")
    if not re.fullmatch(r"\d{1,6}", count):
        return f"{quoted(count)} for {quoted(written)}", "a count, such as 12"
    price, currency = None, ""
    if row.get("price"):
        match = _PRICE.fullmatch(row["price"])
        if not match or not (match[1] or match[3]):
            return f"price {quoted(row['price'])}", "a price with its currency, such as “0.35 EUR”"
        mark = match[1] or match[3]
        currency = _SIGNS.get(mark, mark)
        try:
            price = Decimal(match[2].replace(",", "."))
        except InvalidOperation:
            return f"price {quoted(row['price'])}", "a price, such as “0.35 EUR”"
    return InDrawer(
        written,
        int(count),
        part.value,
        part.unit,
        None if part.volts_mark else part.volts,
        part.watts,
        part.type,
        part.safety_class,
        price,
        currency,
        part.volts if part.volts_mark == "ac" else None,
    )
