"""The order list written out: CSV for a spreadsheet, JSON for programs, plain text to print."""

from __future__ import annotations

import json
from typing import Any

from ..record.units import say
from ..report.comma_separated import table_csv
from ..report.sentence import Bare
from ..report.table import Cell, Column, Row, RowGroup, Table, cell
from ..words.decimal_sign import with_decimal_sign
from .orders import NotUnderstood, Order, OrderItem

HEADINGS = (
    "value", "unit", "sort", "rating (V)", "rating (W)", "needed", "spare", "in stock", "order", "price", "currency",
    "cost", "for",
)  # fmt: skip
_SIZES = {"F": ((1e-12, 1e-9, "pF"), (1e-9, 1e-7, "nF"), (1e-6, 1e9, "uF"))}


def as_csv(order: Order) -> str:
    """RFC 4180; numbers are plain numbers, text that begins like a formula is defused."""
    columns = tuple(Column(heading) for heading in HEADINGS)
    listed = [*map(_cells, order.items), *map(_not_understood, order.not_understood)]
    rows = tuple(Row(cells[0], cells[1:]) for cells in listed)
    return table_csv(Table("Order list", "What to order for all open sets", columns, (RowGroup(rows),)))


def _cells(item: OrderItem) -> tuple[Cell, ...]:
    value, unit = _sized(item)
    ratings = (Cell() if rating is None else cell(Bare(rating)) for rating in (item.volts, item.watts))
    counts = (cell(Bare(n)) for n in (item.count, item.spare, item.in_stock, item.order))
    cost = "" if item.cost is None else with_decimal_sign(str(item.cost))
    price = "" if item.price is None else with_decimal_sign(str(item.price))
    money = (cell(text) for text in (price, item.currency, cost))
    return cell(Bare(value)), cell(unit), cell(item.sort), *ratings, *counts, *money, cell(sets_and_parts(item))


def _not_understood(one: NotUnderstood) -> tuple[Cell, ...]:
    """A row that orders nothing and says what may be missing."""
    filled = {"sort": "not understood", "for": f"{one.set}: {one.said}"}
    return tuple(cell(filled[heading]) if heading in filled else Cell() for heading in HEADINGS)


def as_json(order: Order) -> str:
    """SI values; money as text, so that no digit is lost."""
    lines: list[dict[str, Any]] = [
        {
            "value": item.value,
            "unit": item.unit,
            "sort": item.sort,
            "rating_volts": item.volts,
            "rating_watts": item.watts,
            "rating_unknown": item.unknown_rating,
            "needed": item.count,
            "spare": item.spare,
            "in_stock": item.in_stock,
            "order": item.order,
            "price": None if item.price is None else str(item.price),
            "currency": item.currency or None,
            "cost": None if item.cost is None else str(item.cost),
            "for": [{"set": s, "part": p} for s, p in item.wanted],
        }
        for item in order.items
    ]
    costs = {currency: str(cost) for currency, cost in order.costs}
    left_out = [{"set": one.set, "lines": list(one.lines)} for one in order.not_understood]
    data = {"format": "benchleaf-order", "version": 1, "lines": lines, "costs": costs, "not_understood": left_out}
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def as_text(order: Order) -> str:
    """One line for each sort, with a box to tick, to print."""
    said = [] if order.items else ["Nothing to order."]
    for item in order.items:
        stock = f", {item.in_stock} in stock" if item.in_stock else ""
        spare = f", {item.spare} spare" if item.spare else ""
        cost = f", {with_decimal_sign(str(item.cost))} {item.currency}" if item.cost is not None else ""
        said.append(f"[ ] {item.order} × {described(item)}  ({item.count} needed{spare}{stock}{cost})")
        said.append(f"      for {sets_and_parts(item)}")
    costs = ((with_decimal_sign(str(cost)), currency) for currency, cost in order.costs)
    said += [f"Cost as far as prices are known: {cost} {currency}" for cost, currency in costs]
    if order.not_understood:
        said += ["Not understood, so that parts may be missing here:"]
        said += [f"      {one.set}: {one.said}" for one in order.not_understood]
    return "\n".join(said).replace("\u202f", " ") + "\n"


def described(item: OrderItem) -> str:
    """Value, rating and sort: ``47 nF, 250 V at least, film``."""
    rating = item.volts if item.unit == "F" else item.watts
    unit = "V" if item.unit == "F" else "W"
    words = [say(item.value, item.unit)]
    words += [f"{say(rating, unit)} at least"] if rating is not None else []
    words += ["rating not known of every place"] if item.unknown_rating else []
    return ", ".join([*words, item.sort])


def sets_and_parts(item: OrderItem) -> str:
    """Which sets and parts an item is for."""
    by_set: dict[str, list[str]] = {}
    for set_name, part in item.wanted:
        by_set.setdefault(set_name, []).append(part)
    return "; ".join(f"{name}: {', '.join(parts)}" for name, parts in by_set.items())


def _sized(item: OrderItem) -> tuple[float, str]:
    for factor, below, unit in _SIZES.get(item.unit, ()):
        if item.value < below:
            return item.value / factor, unit
    return item.value, item.unit
