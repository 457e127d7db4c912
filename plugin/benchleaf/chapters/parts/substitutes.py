"""What is made today for a value that is no longer made: one part inside the old part's tolerance, or else two."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from ...circuit.pieces import Tolerance
from ...electrics.pairs import Made, decades, nearest_made
from ...electrics.preferred import is_preferred
from ...record.part_types import POLARISED_TYPES
from .judging import ASSUMED_BAND, ASSUMED_ELECTROLYTIC_BAND

_CLOSE = {"capacitor": 0.1, "resistor": 0.05}
"""One part within this is as good as two (old parts were made to ±20 %: common practice, no source)."""
_RANGE = {"capacitor": (10e-12, 220e-6), "resistor": (1.0, 22e6)}
_MADE = {"resistor": ("E12", "E24", "E96"), "polarised": ("E6",), "capacitor": ("E6", "E12", "E24")}
"""The series of IEC 60063 in which each is sold, the commonest first (common practice, no source)."""
_SET_BY_HAND = frozenset({"potentiometer", "trimmer", "air"})


@dataclass(frozen=True, slots=True)
class Substitute:
    """What stands for an old value.

    ``one`` is the part to get, None where no value that is made lies inside the old tolerance; ``others`` are further
    values of its series that do. ``pair`` are two that come nearer, None where one is as good.
    """

    one: Made | None
    others: tuple[float, ...] = ()
    pair: Made | None = None

    @property
    def values(self) -> tuple[float, ...]:
        """Every value that may be got for it: the one and the others, or those of the pair; empty for none."""
        if self.one is not None:
            return (self.one.total, *self.others)
        return self.pair.values if self.pair else ()


def substitute(
    value: float | None, kind: str, band: Tolerance | None = None, type_: str = "", *, rather_more: bool = False
) -> Substitute | None:
    """What to get for an old ``value`` of ``kind`` in F or ohm; None for what is made in no series.

    ``band`` is the old part's tolerance, where it is not written that of its time for ``type_``. With ``rather_more``,
    of values farther off than a tenth the larger is taken, as for a filter: 10 µF for 8 µF.
    """
    if kind not in _RANGE or not value or value < 0 or type_.casefold() in _SET_BY_HAND:
        return None
    polarised = type_.casefold() in POLARISED_TYPES
    inside = _inside(value, "polarised" if polarised else kind, band or _of_its_time(polarised=polarised))
    stock = [s for s in _stock("E24" if kind == "resistor" else "E6", kind) if value / 100 <= s <= value * 100]
    best = nearest_made(value, stock, capacitors=kind == "capacitor", close=_CLOSE[kind])
    pair = best if best and best.how != "one" else None
    if not inside:
        return Substitute(None, (), pair)
    near = min(inside, key=lambda one: (_distance(one, value), -one))
    larger = [one for one in inside if one >= value]
    if rather_more and larger and _distance(near, value) > _CLOSE[kind]:
        near = larger[0]
    others = () if kind == "resistor" or near == value else tuple(one for one in inside if one != near)
    as_good = _distance(near, value) <= _CLOSE[kind]
    return Substitute(Made((near,), "one", near, near / value - 1), others, None if as_good else pair)


def _of_its_time(*, polarised: bool) -> Tolerance:
    return ASSUMED_ELECTROLYTIC_BAND if polarised else ASSUMED_BAND


def _distance(one: float, value: float) -> float:
    """How far off, as a ratio, to a millionth: what is as far above as below is as far."""
    return round(abs(one / value - 1), 6)


def _inside(value: float, kind: str, band: Tolerance) -> tuple[float, ...]:
    """The values of the commonest series that has any inside the tolerance, lowest first; the value itself if made."""
    for series in _MADE[kind][: None if kind == "resistor" else 2]:
        if is_preferred(value, series):
            return (value,)
    return next((found for series in _MADE[kind] if (found := tuple(_held(value, series, kind, band)))), ())


def _held(value: float, series: str, kind: str, band: Tolerance) -> Iterator[float]:
    stock = _stock(series, "resistor" if kind == "resistor" else "capacitor")
    return (one for one in stock if band.holds(one / value - 1))


@cache
def _stock(series: str, kind: str) -> tuple[float, ...]:
    return decades(series, *_RANGE[kind])
