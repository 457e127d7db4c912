"""The order list written out: CSV for a spreadsheet, JSON for programs, plain text to print."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from ..chapters.parts.parts_list import harmless, lines_of, number
from ..record.units import say
from .orders import Order, OrderLine

HEADINGS = (
    "value", "unit", "sort", "rating (V)", "rating (W)", "needed", "spare", "in stock", "order", "price", "currency",
    "cost", "for",
)  # fmt: skip
_SIZES = {"F": ((1e-12, 1e-9, "pF"), (1e-9, 1e-7, "nF"), (1e-6, 1e9, "uF"))}


def as_csv(order: Order) -> str:
    """RFC 4180; numbers are plain numbers, text that begins like a formula is defused."""
    rows: list[Sequence[str]] = [HEADINGS]
    for line in order.lines:
        value, unit = _sized(line)
        cells: list[str] = [number(value), unit, harmless(line.sort)]
        cells += ["" if r is None else number(r) for r in (line.volts, line.watts)]
        cells += [str(n) for n in (line.count, line.spare, line.in_stock, line.order)]
        cells += ["" if line.price is None else str(line.price), line.currency]
        cells += ["" if line.cost is None else str(line.cost), harmless(places(line))]
        rows.append(cells)
    return lines_of(rows)


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
            "for": [{"set": s, "part": p} for s, p in line.places],
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
        said.append(f"      for {places(line)}")
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


def places(line: OrderLine) -> str:
    """Which sets and parts a line is for."""
    by_set: dict[str, list[str]] = {}
    for set_name, part in line.places:
        by_set.setdefault(set_name, []).append(part)
    return "; ".join(f"{name}: {', '.join(parts)}" for name, parts in by_set.items())


def _sized(line: OrderLine) -> tuple[float, str]:
    for factor, below, unit in _SIZES.get(line.unit, ()):
        if line.value < below:
            return line.value / factor, unit
    return line.value, line.unit
