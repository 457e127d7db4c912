"""What is in the drawer: ``stock.csv``, a line for each sort of part with its count and, if wanted, its price."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from ..record.problems import Problem, quoted
from ..record.set_files import MOST_BYTES
from ..record.slips import At, Slips

_FIELD = "stock"
HEADINGS = ("part", "count", "price")
_PRICE = re.compile(r"\s*(?:([A-Z]{3}|[£$€])\s*)?(\d+(?:[.,]\d{1,4})?)\s*([A-Z]{3}|[£$€])?\s*")
_SIGNS = {"£": "GBP", "$": "USD", "€": "EUR"}


@dataclass(frozen=True, slots=True)
class InDrawer:
    """``count`` parts of one sort: ``value`` in ``unit`` (F, ohm, H), what they are rated for, and the price of one."""

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


def read_stock(data: bytes, file: str) -> tuple[tuple[InDrawer, ...], list[Problem]]:
    """The drawer, and a problem for each line that cannot be read; the other lines count."""
    from ..record.reader import decode

    slips = Slips(file)
    if len(data) > MOST_BYTES:
        slips.add(None, _FIELD, "a file of more than 4 MB", "a list of parts")
        return (), list(slips.problems())
    text, problems = decode(data, file)
    if problems:
        return (), list(problems)
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    found: list[InDrawer] = []
    try:
        headings = [h.strip().casefold() for h in next(reader, [])]
        if "part" not in headings or "count" not in headings:
            said = ", ".join(headings) or "nothing"
            slips.add(None, _FIELD, quoted(said), "the headings part, count and, if wanted, price")
            return (), list(slips.problems())
        for cells in reader:
            row = dict(zip(headings, (c.strip() for c in cells), strict=False))
            if not any(row.values()):
                continue
            entry = _entry(row)
            if isinstance(entry, InDrawer):
                found.append(entry)
            else:
                slips.add(At((reader.line_num, 1)), _FIELD, *entry)
    except csv.Error as error:
        slips.add(At((reader.line_num or 1, 1)), _FIELD, str(error), "CSV")
    return tuple(found), list(slips.problems())


def _entry(row: dict[str, str]) -> InDrawer | tuple[str, str]:
    from pydantic import ValidationError
    from pydantic_core import PydanticCustomError

    from ..circuit.pieces import seen
    from ..record.sections.parts import read_components

    written = row.get("part", "").lstrip("'")
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
        part.volts,
        part.watts,
        part.type,
        part.safety_class,
        price,
        currency,
    )
