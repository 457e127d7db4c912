"""The order list written out: CSV for a spreadsheet, JSON for programs, plain text to print."""

from __future__ import annotations

import json
from typing import Any

from ..record.units import say
from ..report.comma_separated import table_csv
from ..report.sentence import Bare
from ..report.table import Cell, Column, Group, Row, Table, cell
from .orders import Order, OrderLine

HEADINGS = (
    "value", "unit", "sort", "rating (V)", "rating (W)", "needed", "spare", "in stock", "order", "price", "currency",
    "cost", "for",
)  # fmt: skip
_SIZES = {"F": ((1e-12, 1e-9, "pF"), (1e-9, 1e-7, "nF"), (1e-6, 1e9, "uF"))}


def as_csv(order: Order) -> str:
    """RFC 4180; numbers are plain numbers, text that begins like a formula is defused."""
    columns = tuple(Column(heading) for heading in HEADINGS)
    rows = tuple(Row(cells[0], cells[1:]) for cells in map(_cells, order.lines))
    return table_csv(Table("Order list", "What to order for all open sets", columns, (Group(rows),)))


def _cells(line: OrderLine) -> tuple[Cell, ...]:
    value, unit = _sized(line)
    ratings = (Cell() if rating is None else cell(Bare(rating)) for rating in (line.volts, line.watts))
    counts = (cell(Bare(n)) for n in (line.count, line.spare, line.in_stock, line.order))
    cost = "" if line.cost is None else str(line.cost)
    money = (cell(text) for text in ("" if line.price is None else str(line.price), line.currency, cost))
    return cell(Bare(value)), cell(unit), cell(line.sort), *ratings, *counts, *money, cell(sets_and_parts(line))


def as_json(order: Order) -> str:
    """SI values; money as text, so that no digit is lost."""
    lines: list[dict[str, Any]] = [
        {
            "value": line.value,
            "unit": line.unit,
            "sort": line.sort,
            "rating_volts": line.volts,
            "rating_watts": line.watts,
            "rating_unknown": line.unknown_rating,
            "needed": line.count,
            "spare": line.spare,
            "in_stock": line.in_stock,
            "order": line.order,
            "price": None if line.price is None else str(line.price),
            "currency": line.currency or None,
            "cost": None if line.cost is None else str(line.cost),
            "for": [{"set": s, "part": p} for s, p in line.wanted],
        }
        for line in order.lines
    ]
    costs = {currency: str(cost) for currency, cost in order.costs}
    data = {"format": "benchleaf-order", "version": 1, "lines": lines, "costs": costs}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def as_text(order: Order) -> str:
    """One line for each sort, with a box to tick, to print."""
    if not order.lines:
        return "Nothing to order.\n"
    said = []
    for line in order.lines:
        stock = f", {line.in_stock} in stock" if line.in_stock else ""
        spare = f", {line.spare} spare" if line.spare else ""
        cost = f", {line.cost} {line.currency}" if line.cost is not None else ""
        said.append(f"[ ] {line.order} × {described(line)}  ({line.count} needed{spare}{stock}{cost})")
        said.append(f"      for {sets_and_parts(line)}")
    said += [f"Cost as far as prices are known: {cost} {currency}" for currency, cost in order.costs]
    return "\n".join(said).replace("\u202f", " ") + "\n"


def described(line: OrderLine) -> str:
    """Value, rating and sort: ``47 nF, 250 V at least, film``."""
    rating = line.volts if line.unit == "F" else line.watts
    unit = "V" if line.unit == "F" else "W"
    words = [say(line.value, line.unit)]
    words += [f"{say(rating, unit)} at least"] if rating is not None else []
    words += ["rating not known of every place"] if line.unknown_rating else []
    return ", ".join([*words, line.sort])


def sets_and_parts(line: OrderLine) -> str:
    """Which sets and parts a line is for."""
    by_set: dict[str, list[str]] = {}
    for set_name, part in line.wanted:
        by_set.setdefault(set_name, []).append(part)
    return "; ".join(f"{name}: {', '.join(parts)}" for name, parts in by_set.items())


def _sized(line: OrderLine) -> tuple[float, str]:
    for factor, below, unit in _SIZES.get(line.unit, ()):
        if line.value < below:
            return line.value / factor, unit
    return line.value, line.unit
