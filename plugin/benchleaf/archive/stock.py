"""What is in the drawer: ``stock.csv``, a line for each sort of part with its count and, if wanted, its price."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from ..record.problems import Problem, quoted
from ..record.set_files import MOST_BYTES

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

    if len(data) > MOST_BYTES:
        return (), [Problem(file, 1, 1, "stock", "a file of more than 4 MB", "a list of parts", "")]
    text, problems = decode(data, file)
    if problems:
        return (), list(problems)
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    found: list[InDrawer] = []
    try:
        headings = [h.strip().casefold() for h in next(reader, [])]
        if "part" not in headings or "count" not in headings:
            said = ", ".join(headings) or "nothing"
            return (), [
                Problem(file, 1, 1, "stock", quoted(said), "the headings part, count and, if wanted, price", "")
            ]
        for cells in reader:
            row = dict(zip(headings, (c.strip() for c in cells), strict=False))
            if not any(row.values()):
                continue
            entry = _entry(row)
            if isinstance(entry, InDrawer):
                found.append(entry)
            else:
                problems.append(Problem(file, reader.line_num, 1, "stock", *entry, ""))
    except csv.Error as error:
        problems.append(Problem(file, reader.line_num or 1, 1, "stock", str(error), "CSV", ""))
    return tuple(found), problems


def _entry(row: dict[str, str]) -> InDrawer | tuple[str, str]:
    from pydantic import ValidationError
    from pydantic_core import PydanticCustomError

    from ..chapters.parts.pieces import seen
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
