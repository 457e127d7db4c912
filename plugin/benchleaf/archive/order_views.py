"""The order list by set, for the bench, and by member, for the bill: the same parts as by part, told another way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ..report.sentence import Bare
from ..report.table import Cell, cell
from . import order_list
from .cards import by_name
from .orders import Order, OrderItem, added
from .wanted_parts import WantedPart

WAYS = ("part", "set", "member")
NOBODY = "no member named"
_PART = order_list.PART_HEADINGS
_OF_SET = ("set", "member", "part", *_PART, "price", "currency", "for")
_OF_MEMBER = ("member", *_PART, "needed", "price", "currency", "cost", "for")
_SPARE, _DRAWER = "spare parts", "from the drawer"


@dataclass(frozen=True, slots=True)
class ItemShare:
    """What one set or one member needs of an item."""

    item: OrderItem
    places: tuple[WantedPart, ...]

    @property
    def cost(self) -> Decimal | None:
        """At the price of one, whether it is bought or comes from the drawer."""
        return None if self.item.price is None else self.item.price * len(self.places)


def written(order: Order, way: str, form: str) -> str:
    """The list told one of the ``WAYS``, as ``text``, ``csv`` or ``json``."""
    return _WRITTEN[way, form](order)


def shares(order: Order, of: Callable[[WantedPart], str]) -> dict[str, list[ItemShare]]:
    """The items shared out by what a place is of, in the order of names; those of no name come last."""
    found: dict[str, list[ItemShare]] = {}
    for item in order.items:
        places: dict[str, list[WantedPart]] = {}
        for one in item.places:
            places.setdefault(of(one), []).append(one)
        for name, own in places.items():
            found.setdefault(name, []).append(ItemShare(item, tuple(own)))
    return {name: found[name] for name in sorted(found, key=lambda name: (not name, by_name(name)))}


def _of_set(one: WantedPart) -> str:
    return one.set


def _of_member(one: WantedPart) -> str:
    return one.member


def _by_part(share: ItemShare) -> Iterator[tuple[WantedPart, OrderItem]]:
    return ((one, share.item) for one in share.places)


def _of_bench(mine: list[ItemShare]) -> list[tuple[WantedPart, OrderItem]]:
    """A set's parts by their names, each with what is got for it."""
    return sorted((pair for share in mine for pair in _by_part(share)), key=lambda pair: by_name(pair[0].part))


def _note(one: WantedPart) -> str:
    pair = order_list.pair_of(one)
    return f"one of a pair: {pair}" if pair else ""


def _sets_text(order: Order) -> str:
    said = [] if order.items else ["Nothing to order."]
    for name, mine in shares(order, _of_set).items():
        member = mine[0].places[0].member
        said.append(f"{name}{f' ({member})' if member and member not in name else ''}")
        for one, item in _of_bench(mine):
            note = _note(one)
            said.append(f"[ ] {one.part}: {order_list.described(item)}{f' ({note})' if note else ''}")
    return order_list.text_of(said, order)


def _sets_csv(order: Order) -> str:
    rows = [
        [
            *(cell(text) for text in (name, one.member, one.part)),
            *order_list.part_cells(item),
            *order_list.money_cells(item, 1)[:2],
            cell(_note(one)),
        ]
        for name, mine in shares(order, _of_set).items()
        for one, item in _of_bench(mine)
    ]
    return order_list.listed_csv("What each open set waits for", _OF_SET, rows, order.not_understood)


def _sets_json(order: Order) -> str:
    sets = [
        {
            "set": name,
            "member": mine[0].places[0].member or None,
            "parts": [
                {"part": one.part, **order_list.part_json(item), "old_value": one.old, "pair": order_list.pair_of(one)}
                for one, item in _of_bench(mine)
            ],
        }
        for name, mine in shares(order, _of_set).items()
    ]
    return order_list.json_text({"by": "set", "sets": sets}, order)


def _members_text(order: Order) -> str:
    said = [] if order.items else ["Nothing to order."]
    for name, mine in shares(order, _of_member).items():
        said.append(name or NOBODY.capitalize())
        for share in mine:
            cost = "no price" if share.cost is None else order_list.money(share.cost, share.item.currency)
            said.append(f"    {len(share.places)} × {order_list.described(share.item)}: {cost}")
            said.append(f"      for {order_list.sets_and_parts(share.places)}")
        said += [f"    Together: {order_list.money(cost, currency)}" for currency, cost in _sums(mine)]
    for word, sign, costs in _of_the_club(order):
        said += [f"{word.capitalize()}: {sign}{order_list.money(cost, currency)}" for currency, cost in costs]
    said += [f"To be paid: {order_list.money(cost, currency)}" for currency, cost in order.costs]
    return order_list.text_of([*said, *(order_list.unpriced(order) if order.costs else ())], order)


def _sums(mine: list[ItemShare]) -> tuple[tuple[str, Decimal], ...]:
    return added((share.item.currency, share.cost) for share in mine)


def _of_the_club(order: Order) -> Iterator[tuple[str, str, tuple[tuple[str, Decimal], ...]]]:
    """What is no member's: spare parts, and what the drawer gives, which nobody has to buy."""
    spare = added((item.currency, item.price * item.spare) for item in order.items if item.price and item.spare)
    stock = added((item.currency, item.price * item.in_stock) for item in order.items if item.price and item.in_stock)
    yield _SPARE, "", spare
    yield _DRAWER, "−", stock


def _members_csv(order: Order) -> str:
    rows: list[list[Cell]] = [
        [
            cell(name or NOBODY),
            *order_list.part_cells(share.item),
            cell(Bare(len(share.places))),
            *order_list.money_cells(share.item, len(share.places)),
            cell(order_list.sets_and_parts(share.places)),
        ]
        for name, mine in shares(order, _of_member).items()
        for share in mine
    ]
    for item in order.items:
        for word, count in ((_SPARE, item.spare), (_DRAWER, -item.in_stock)):
            if count:
                money = order_list.money_cells(item, count)
                rows.append([cell(word), *order_list.part_cells(item), cell(Bare(count)), *money, Cell()])
    return order_list.listed_csv("What each member's sets wait for", _OF_MEMBER, rows, order.not_understood)


def _members_json(order: Order) -> str:
    members = [
        {
            "member": name or None,
            "lines": [
                {
                    **order_list.part_json(share.item),
                    "needed": len(share.places),
                    "cost": None if share.cost is None else str(share.cost),
                    "for": order_list.places_json(share.places),
                }
                for share in mine
            ],
            "costs": {currency: str(cost) for currency, cost in _sums(mine)},
        }
        for name, mine in shares(order, _of_member).items()
    ]
    club: dict[str, Any] = {
        word.replace(" ", "_"): {currency: str(cost) for currency, cost in costs}
        for word, _, costs in _of_the_club(order)
    }
    return order_list.json_text({"by": "member", "members": members, **club}, order)


_WRITTEN: dict[tuple[str, str], Callable[[Order], str]] = {
    ("part", "text"): order_list.as_text,
    ("part", "csv"): order_list.as_csv,
    ("part", "json"): order_list.as_json,
    ("set", "text"): _sets_text,
    ("set", "csv"): _sets_csv,
    ("set", "json"): _sets_json,
    ("member", "text"): _members_text,
    ("member", "csv"): _members_csv,
    ("member", "json"): _members_json,
}
