"""The order list by part, for the buyer: CSV for a spreadsheet, JSON for programs, plain text to print."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from ..record.problems import one_of
from ..record.units import say
from ..report.comma_separated import table_csv
from ..report.sentence import Bare
from ..report.table import Cell, Column, Row, RowGroup, Table, cell
from ..words.decimal_sign import with_decimal_sign
from .orders import NotUnderstood, Order, OrderItem
from .wanted_parts import WantedPart

VALUE_NOT_KNOWN = "value not known: read it off the part"
PART_HEADINGS = ("value", "unit", "or", "sort", "rating (V)", "rating (V AC)", "rating (W)")
HEADINGS = (
    *PART_HEADINGS, "needed", "spare", "in stock", "order", "price",
    "currency", "cost", "for",
)  # fmt: skip
NOT_UNDERSTOOD = "not understood"
_SIZES = {"F": ((1e-12, 1e-9, "pF"), (1e-9, 1e-7, "nF"), (1e-6, 1e9, "uF"))}


def as_csv(order: Order) -> str:
    """RFC 4180; numbers are plain numbers, text that begins like a formula is defused."""
    rows = [_cells(item) for item in order.items]
    return listed_csv("What to order for all open sets", HEADINGS, rows, order.not_understood)


def listed_csv(
    said: str, headings: Sequence[str], rows: Iterable[Sequence[Cell]], not_understood: Iterable[NotUnderstood]
) -> str:
    """A list with a row at its end for each set whose lines were not understood, which orders nothing."""
    left_out = ({"sort": NOT_UNDERSTOOD, "for": f"{one.set}: {one.said}"} for one in not_understood)
    more = [[cell(one[h]) if h in one else Cell() for h in headings] for one in left_out]
    columns = tuple(Column(heading) for heading in headings)
    made = tuple(Row(cells[0], tuple(cells[1:])) for cells in (*rows, *more))
    return table_csv(Table("Order list", said, columns, (RowGroup(made),)))


def _cells(item: OrderItem) -> list[Cell]:
    counts = (cell(Bare(n)) for n in (item.count, item.spare, item.in_stock, item.order))
    return [*part_cells(item), *counts, *money_cells(item, item.order), cell(sets_and_parts(item.places))]


def part_cells(item: OrderItem) -> list[Cell]:
    """Value, unit, other values that will do, sort and ratings."""
    value, unit = (None, "") if item.value is None else _sized(item.value, item.unit)
    others = "; ".join(_plain(other, item.unit) for other in item.others)
    ratings = [Cell() if rating is None else cell(Bare(rating)) for rating in (item.volts, item.ac_volts, item.watts)]
    return [
        cell(VALUE_NOT_KNOWN if value is None else Bare(value)),
        cell(unit),
        cell(others),
        cell(item.sort),
        *ratings,
    ]


def money_cells(item: OrderItem, count: int) -> list[Cell]:
    """The price of one, its currency, and the cost of ``count``; empty where there is no price."""
    if item.price is None:
        return [Cell(), Cell(), Cell()]
    cost = item.price * count
    # As text a sum below zero would be taken for a formula.
    said = cell(Bare(float(cost))) if cost < 0 else cell(with_decimal_sign(str(cost)))
    return [cell(with_decimal_sign(str(item.price))), cell(item.currency), said]


def as_json(order: Order) -> str:
    """SI values; money as text, so that no digit is lost."""
    lines = [part_json(item) | counts_json(item) | {"for": places_json(item.places)} for item in order.items]
    return json_text({"by": "part", "lines": lines}, order)


def part_json(item: OrderItem) -> dict[str, Any]:
    """What is ordered, and the price of one."""
    return {
        "value": item.value,
        "unit": item.unit or None,
        "other_values": list(item.others),
        "inside_tolerance": item.single,
        "sort": item.sort,
        "rating_volts": item.volts,
        "rating_volts_ac": item.ac_volts,
        "rating_watts": item.watts,
        "rating_unknown": item.unknown_rating,
        "price": None if item.price is None else str(item.price),
        "currency": item.currency or None,
    }


def counts_json(item: OrderItem) -> dict[str, Any]:
    """How many are needed and ordered, and what those to be ordered cost."""
    return {
        "needed": item.count,
        "spare": item.spare,
        "in_stock": item.in_stock,
        "order": item.order,
        "cost": None if item.cost is None else str(item.cost),
    }


def places_json(places: Iterable[WantedPart]) -> list[dict[str, Any]]:
    """Where the parts go: the set, its member, the part, and the pair it is one of."""
    return [
        {"set": one.set, "member": one.member or None, "part": one.part, "old_value": one.old, "pair": pair_of(one)}
        for one in places
    ]


def pair_of(one: WantedPart) -> str | None:
    """``10 µF and 15 µF in parallel``, where the part is listed as one of a pair."""
    return f"{one_of([say(value, one.unit) for value in one.pair], 'and')} in {one.how}" if one.paired else None


def json_text(data: dict[str, Any], order: Order) -> str:
    """The file with what every way of listing says at its end."""
    left_out = [{"set": one.set, "lines": list(one.lines)} for one in order.not_understood]
    whole = {
        "format": "benchleaf-order",
        "version": 1,
        **data,
        "costs": {currency: str(cost) for currency, cost in order.costs},
        "without_price": [{"value": i.value, "unit": i.unit or None, "sort": i.sort} for i in order.without_price],
        "not_understood": left_out,
    }
    return json.dumps(whole, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def as_text(order: Order) -> str:
    """One line for each sort, with a box to tick, to print."""
    said = [] if order.items else ["Nothing to order."]
    for item in order.items:
        stock = f", {item.in_stock} in stock" if item.in_stock else ""
        spare = f", {item.spare} spare" if item.spare else ""
        cost = f", {money(item.cost, item.currency)}" if item.cost is not None else ""
        said.append(f"[ ] {item.order} × {described(item)}  ({item.count} needed{spare}{stock}{cost})")
        said.append(f"      for {sets_and_parts(item.places)}")
    said += [f"Cost as far as prices are known: {money(cost, currency)}" for currency, cost in order.costs]
    return text_of([*said, *(unpriced(order) if order.costs else ())], order)


def unpriced(order: Order) -> list[str]:
    """What the cost leaves out, a line for each."""
    without = [f"      {item.order} × {described(item)}" for item in order.without_price]
    return ["Without a price, and so in no sum:", *without] if without else []


def text_of(said: Sequence[str], order: Order) -> str:
    """The lines, with what was not understood at their end."""
    left_out = [f"      {one.set}: {one.said}" for one in order.not_understood]
    more = ["Not understood, so that parts may be missing here:", *left_out] if left_out else []
    return "\n".join([*said, *more]).replace("\u202f", " ") + "\n"


def money(sum_: Decimal, currency: str) -> str:
    """``0.35 EUR``, with the decimal sign in force."""
    return f"{with_decimal_sign(str(sum_))} {currency}"


def described(item: OrderItem) -> str:
    """Value, rating and sort: ``22 µF or 33 µF, 16 V at least, electrolytic``."""
    ratings = [say(item.volts, "V")] if item.volts is not None else []
    ratings += [f"{say(item.ac_volts, 'V')} AC"] if item.ac_volts is not None else []
    ratings += [say(item.watts, "W")] if item.watts is not None else []
    values = () if item.value is None else (item.value, *item.others)
    words = [one_of([say(value, item.unit) for value in values]) or VALUE_NOT_KNOWN]
    words += [] if item.single else ["no one value made lies inside the old tolerance"]
    words += [f"{one_of(ratings, 'and')} at least"] if ratings else []
    words += ["rating not known of every place"] if item.unknown_rating else []
    return ", ".join([*words, item.sort])


def sets_and_parts(places: Iterable[WantedPart]) -> str:
    """Which sets and parts an item is for; of a part that two new ones stand for, that it is a pair."""
    by_set: dict[str, list[str]] = {}
    for one in places:
        pair = pair_of(one)
        by_set.setdefault(one.set, []).append(f"{one.part} (one of a pair: {pair})" if pair else one.part)
    return "; ".join(f"{name}: {', '.join(parts)}" for name, parts in by_set.items())


def _plain(value: float, unit: str) -> str:
    size, unit = _sized(value, unit)
    return f"{with_decimal_sign(f'{size:g}')} {unit}"


def _sized(value: float, unit: str) -> tuple[float, str]:
    for factor, below, sized in _SIZES.get(unit, ()):
        if value < below:
            return float(f"{value / factor:.6g}"), sized
    return value, unit
