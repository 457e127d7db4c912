"""What to order for all open sets: equal values together, the lowest rating that serves all, less what is in stock."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ..record.part_types import FILM_TYPES, FOIL_TYPES
from ..record.problems import one_of
from .stock import InDrawer

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.parts.findings import PartFindings

VOLTS_MADE = (16, 25, 35, 50, 63, 100, 160, 200, 250, 350, 400, 450, 500, 630, 1000, 1250, 1600, 2000)
WATTS_MADE = (0.25, 0.5, 1, 2, 3, 5, 7, 10, 15, 25, 50)
"""Ratings that are commonly made (common practice, no source)."""
_SAME = 1e-6


@dataclass(frozen=True, slots=True)
class WantedPart:
    """One part that an open set waits for. ``volts`` and ``watts`` are what its place asks for, None if not known."""

    set: str
    part: str
    value: float
    unit: str
    sort: str
    volts: float | None = None
    watts: float | None = None


@dataclass(frozen=True, slots=True)
class OrderItem:
    """One sort to order. ``volts`` and ``watts`` are the lowest ratings made that serve every place.

    ``count`` is what the sets need, ``spare`` what is added, ``in_stock`` what the drawer gives, ``order`` the rest.
    ``unknown_rating`` tells that at least one place's need is not known.
    """

    value: float
    unit: str
    sort: str
    volts: float | None
    watts: float | None
    count: int
    spare: int
    in_stock: int
    order: int
    wanted: tuple[tuple[str, str], ...]
    unknown_rating: bool = False
    price: Decimal | None = None
    currency: str = ""

    @property
    def cost(self) -> Decimal | None:
        """For what is to be ordered."""
        return None if self.price is None else self.price * self.order


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """The lines of a set's record that could not be read, so that a part may be missing; none for the whole of it."""

    set: str
    lines: tuple[int, ...] = ()

    @property
    def said(self) -> str:
        """Which lines: ``lines 5 and 7``."""
        return said_lines(self.lines) or "nothing of it could be read"


def said_lines(lines: Sequence[int]) -> str:
    """Lines by their numbers; empty for none."""
    return f"line{'s'[: len(lines) > 1]} {one_of(map(str, lines), 'and')}" if lines else ""


@dataclass(frozen=True, slots=True)
class Order:
    """The list, and its cost by currency as far as prices are known.

    ``not_understood`` is what of the records that it was made from was left out.
    """

    items: tuple[OrderItem, ...]
    costs: tuple[tuple[str, Decimal], ...] = ()
    not_understood: tuple[NotUnderstood, ...] = ()


def wanted(examined: Examined, title: str = "") -> tuple[WantedPart, ...]:
    """What one set waits for: parts to do, and old electrolytics better replaced. None for a finished set.

    A part that is on order, or tested and not yet fitted, is not wanted again.
    """
    from ..chapters.parts import verdicts

    parts, record = examined.findings["parts"], examined.record
    if parts is None or str(record.state or "") == "finished":
        return ()
    name = title or f"{record.maker} {record.model}"
    found: list[WantedPart] = []
    for row in parts.to_do():
        if verdicts.new_one_wanted(row):
            found += _wanted(row, name)
    return tuple(found)


def _wanted(row: PartFindings, set_name: str) -> Iterable[WantedPart]:
    piece = row.piece
    model = piece.now or piece.was or piece.sheet
    if model is None or not model.value or model.value < 0 or model.unit not in ("F", "ohm", "H"):
        return
    sort = _sort(row)
    volts = row.sees_volts if row.sees_volts is not None else model.volts
    if row.class_needed:
        volts = None
    watts = row.heat.needed_watts if row.heat else model.watts
    values = row.substitute.values if row.substitute and not piece.now else (model.value,)
    for value in values:
        yield WantedPart(set_name, row.name, value, model.unit, sort, volts, watts if model.unit == "ohm" else None)


def _sort(row: PartFindings) -> str:
    """What sort of part serves: the class its place needs, or what stands for the old kind today."""
    model = row.piece.newest
    kind = model.type.casefold() if model else ""
    if row.class_needed:
        return f"class {row.class_needed}"
    if kind in FOIL_TYPES:
        return "film"
    return kind or {"capacitor": "capacitor", "resistor": "resistor"}.get(row.kind, "part")


def order(
    everything: Iterable[WantedPart],
    drawer: Sequence[InDrawer] = (),
    *,
    spare: float = 0.0,
    not_understood: Iterable[NotUnderstood] = (),
) -> Order:
    """The order list. ``spare`` is the margin as a ratio: 0.1 adds one for each ten begun."""
    groups: dict[tuple[str, str, float], list[WantedPart]] = defaultdict(list)
    for one in everything:
        groups[(one.unit, one.sort, float(f"{one.value:.6g}"))].append(one)
    left = list(drawer)
    items = [_item(key, groups[key], left, spare) for key in sorted(groups)]
    costs: dict[str, Decimal] = defaultdict(Decimal)
    for item in items:
        if item.cost is not None:
            costs[item.currency] += item.cost
    return Order(tuple(items), tuple(sorted(costs.items())), tuple(not_understood))


def _item(key: tuple[str, str, float], wanted: Sequence[WantedPart], left: list[InDrawer], spare: float) -> OrderItem:
    unit, sort, value = key
    volts = _made(VOLTS_MADE, [p.volts for p in wanted]) if unit == "F" else None
    watts = _made(WATTS_MADE, [p.watts for p in wanted]) if unit == "ohm" else None
    unknown = not sort.startswith("class") and any((p.volts if unit == "F" else p.watts) is None for p in wanted)
    count = len(wanted)
    more = math.ceil(count * spare - 1e-9) if spare > 0 else 0
    fitting = [i for i, d in enumerate(left) if _serves(d, unit, sort, value, volts, watts)]
    fitting.sort(key=lambda i: (left[i].volts or 0.0, left[i].watts or 0.0))
    taken = 0
    for i in fitting:
        use = min(left[i].count, count + more - taken)
        left[i] = replace(left[i], count=left[i].count - use)
        taken += use
    priced = next((left[i] for i in fitting if left[i].price is not None), None)
    return OrderItem(
        value,
        unit,
        sort,
        volts,
        watts,
        count,
        more,
        taken,
        count + more - taken,
        tuple((p.set, p.part) for p in wanted),
        unknown,
        priced.price if priced else None,
        priced.currency if priced else "",
    )


def _made(ratings: Sequence[float], needs: Iterable[float | None]) -> float | None:
    known = [n for n in needs if n is not None]
    if not known:
        return None
    most = max(known)
    return next((float(r) for r in ratings if r >= most * (1 - 1e-9)), float(f"{most:.3g}"))


def _serves(part: InDrawer, unit: str, sort: str, value: float, volts: float | None, watts: float | None) -> bool:
    from ..chapters.parts.judging import class_enough

    if part.unit != unit or abs(part.value / value - 1) > _SAME:
        return False
    if sort.startswith("class "):
        return bool(class_enough(sort.removeprefix("class "), part.safety_class))
    if part.safety_class or (volts is not None and (part.volts or 0.0) < volts):
        return False
    if watts is not None and (part.watts or 0.0) < watts:
        return False
    kind = part.type.casefold()
    if sort == "film":
        return kind in FILM_TYPES or not kind
    return sort in ("capacitor", "resistor", "part") or kind == sort or (unit == "ohm")


def as_dict(one: WantedPart) -> dict[str, Any]:
    """Plain data, to be kept with a set's card."""
    return {f: getattr(one, f) for f in WantedPart.__slots__}


def from_dict(data: Mapping[str, Any]) -> WantedPart:
    """What ``as_dict`` wrote."""
    return WantedPart(**data)
