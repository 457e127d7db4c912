"""What to order for all open sets: like parts together, the lowest rating that serves all, less what is in stock."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from ..record.part_types import FILM_TYPES
from ..record.problems import one_of
from .ratings_made import LEAST_CLASS_VOLTS, LOW_VOLTS, SMALL_WATTS, ac_volts_made, volts_made, watts_made
from .stock import InDrawer
from .wanted_parts import CLASS, FLAMEPROOF, FUSIBLE, LINE_SIDE, WantedPart

_SAME = 1e-6
_ANY = ("capacitor", "resistor", "part")
_Key = tuple[str, str, float, str, str]
"""Unit, sort, value, ``low``, ``high``, ``AC`` or ``unknown`` for the rating, the place if the value is not known."""


@dataclass(frozen=True, slots=True)
class OrderItem:
    """One sort to order. ``volts``, ``ac_volts`` (RMS), ``watts`` are the lowest ratings made that serve every place.

    ``value`` is None for a part whose value its record does not tell: it is read off the part before it is bought.

    ``count`` is what the sets need, ``spare`` what is added, ``in_stock`` what the drawer gives, ``order`` the rest.
    ``unknown_rating`` tells that the places' need is not known. ``others`` are values that serve every place as well;
    ``single`` is False where no value that is made lies inside the tolerance of the old part.
    """

    value: float | None
    unit: str
    sort: str
    volts: float | None
    watts: float | None
    count: int
    spare: int
    in_stock: int
    order: int
    places: tuple[WantedPart, ...]
    unknown_rating: bool = False
    others: tuple[float, ...] = ()
    single: bool = True
    price: Decimal | None = None
    currency: str = ""
    ac_volts: float | None = None

    @property
    def wanted(self) -> tuple[tuple[str, str], ...]:
        """The set and the part of each place."""
        return tuple((one.set, one.part) for one in self.places)

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

    @property
    def without_price(self) -> tuple[OrderItem, ...]:
        """The items to order that the cost leaves out."""
        return tuple(item for item in self.items if item.price is None and item.order)


def order(
    everything: Iterable[WantedPart],
    drawer: Sequence[InDrawer] = (),
    *,
    spare: float = 0.0,
    pairs: bool = False,
    not_understood: Iterable[NotUnderstood] = (),
) -> Order:
    """The order list. ``spare`` is the margin as a ratio: 0.1 adds one for each ten begun.

    With ``pairs`` two parts are listed wherever they come nearer to the old value than the one that is made.
    """
    groups: dict[_Key, list[WantedPart]] = defaultdict(list)
    for wanted in everything:
        for one in _as_pair(wanted) if pairs and wanted.pair else (wanted,):
            groups[_key(one)].append(one)
    left = list(drawer)
    items = tuple(_item(key, groups[key], left, spare) for key in sorted(groups))
    costs = added((item.currency, item.cost) for item in items)
    return Order(items, costs, tuple(not_understood))


def added(costs: Iterable[tuple[str, Decimal | None]]) -> tuple[tuple[str, Decimal], ...]:
    """Sums of money by currency, what is not known left out."""
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for currency, cost in costs:
        if cost is not None:
            sums[currency] += cost
    return tuple(sorted(sums.items()))


def _as_pair(wanted: WantedPart) -> tuple[WantedPart, ...]:
    """The two parts of a pair; each keeps the pair, by which it is named as one."""
    return tuple(replace(wanted, value=value, others=(), single=True, paired=True) for value in wanted.pair)


def _key(one: WantedPart) -> _Key:
    """What a part is ordered together with: none of another class, none for low volts, none whose rating is open."""
    need, most = (one.volts, LOW_VOLTS) if one.unit == "F" else (one.watts, SMALL_WATTS)
    band = "unknown" if need is None else "low" if need <= most else "high"
    if one.sort.startswith(CLASS) or one.unit in ("H", "") or (one.unit == "ohm" and need is None):
        band = "low"
    elif one.ac_volts is not None:
        band = "AC"
    if one.value is None:
        return one.unit, one.sort, math.inf, band, f"{one.set}: {one.part}"
    return one.unit, one.sort, float(f"{one.value:.6g}"), band, ""


def _item(key: _Key, places: Sequence[WantedPart], left: list[InDrawer], spare: float) -> OrderItem:
    unit, sort, value, *_ = key
    volts = volts_made(sort, [p.volts for p in places]) if unit == "F" else None
    watts = watts_made([p.watts for p in places]) if unit == "ohm" else None
    needs = [_need(p) for p in places]
    count = len(places)
    more = math.ceil(count * spare - 1e-9) if spare > 0 else 0
    fitting = [i for i, d in enumerate(left) if _serves(d, places)]
    fitting.sort(key=lambda i: (left[i].volts or 0.0, left[i].watts or 0.0))
    taken = 0
    for i in fitting:
        use = min(left[i].count, count + more - taken)
        left[i] = replace(left[i], count=left[i].count - use)
        taken += use
    priced = next((left[i] for i in fitting if left[i].price is not None), None)
    return OrderItem(
        places[0].value if places[0].value is None else value,
        unit,
        sort,
        volts,
        watts,
        count,
        more,
        taken,
        count + more - taken,
        tuple(places),
        unknown_rating=unit in ("F", "ohm") and None in needs,
        others=tuple(v for v in places[0].others if all(v in p.others for p in places)),
        single=all(p.single for p in places),
        price=priced.price if priced else None,
        currency=priced.currency if priced else "",
        ac_volts=ac_volts_made(sort, [p.ac_volts for p in places]),
    )


def _need(one: WantedPart) -> float | None:
    """What a place asks of the rating that counts there: on AC, on DC, or in watts."""
    if one.unit != "F":
        return one.watts
    return one.ac_volts if one.sort.startswith(CLASS) or one.volts is None else one.volts


def _most(needs: Iterable[float | None]) -> float:
    return max((need for need in needs if need is not None), default=0.0)


def _serves(part: InDrawer, places: Sequence[WantedPart]) -> bool:
    """Whether a part of the drawer is one of the sort of the places, and rated for the most that they need."""
    unit, sort, value = places[0].unit, places[0].sort, places[0].value
    if value is None or part.unit != unit or abs(part.value / value - 1) > _SAME:
        return False
    ac = _most(p.ac_volts for p in places)
    if sort.startswith(CLASS):
        rated = part.ac_volts or LEAST_CLASS_VOLTS
        return ac <= rated and _has_class(part.safety_class, sort.removeprefix(CLASS))
    kind, _, where = sort.partition(", ")
    if unit == "F" and bool(part.safety_class) is not (where == LINE_SIDE):
        return False
    most = _most(p.volts if unit == "F" else p.watts for p in places)
    if ((part.volts if unit == "F" else part.watts) or 0.0) < most or (part.ac_volts or 0.0) < ac:
        return False
    return _is_of_kind(part.type.casefold(), kind, unit)


def _is_of_kind(has: str, wanted: str, unit: str) -> bool:
    """Whether a kind of part stands for another; what is made to burn open or not to burn stands for its like only."""
    if FUSIBLE in (has, wanted) or FLAMEPROOF in (has, wanted):
        return has == wanted
    if wanted == "film":
        return has in FILM_TYPES or not has
    return wanted in _ANY or has == wanted or unit == "ohm"


def _has_class(written: str, needed: str) -> bool:
    """Whether a class is the one needed or a higher one: X1 for X2, a Y for an X."""
    from ..chapters.parts.judging import class_enough

    if needed in ("X", "Y", "Y1"):
        return bool(class_enough(needed, written))
    has = [one for one in written.split("/") if one]
    return all(any((h[0] == n[0] and h <= n) or (h[0], n[0]) == ("Y", "X") for h in has) for n in needed.split("/"))
