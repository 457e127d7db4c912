"""What the string or the windings are asked to feed: each tube's heater as rated, and the pilot lamp."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from ...circuit.heater_names import is_lamp, position
from ...record.model import Record
from ...record.quantities import Quantity
from ...record.text import Text
from ...tubes import Tube, from_memory, grade, lamp
from ..bench import Bench

OWN = "the record"
SAME_CURRENT = 0.01
"""Two ratings this close are one: tables round to the last figure they print."""
_COUNTED = re.compile(r"(\d{1,2})\s*[x×]\s*(.+)", re.S)


@dataclass(frozen=True, slots=True)
class Rating:
    """A tube's heater as rated, in the connection it is used in; volts and amps None where the type is not known.

    ``borne_out`` says of a rating from memory that both its figures are cross-checked.
    """

    tube: str
    type: str
    volts: float | None
    amps: float | None
    tap_volts: float | None = None
    held: str = "volts"
    direct: bool = False
    rectifier: bool = False
    source: str = ""
    from_memory: bool = False
    borne_out: bool = False
    disagreement: str = ""
    halves: tuple[float, float] | None = None
    side_by_side: bool = False

    @property
    def known(self) -> bool:
        return self.volts is not None and self.amps is not None


@dataclass(frozen=True, slots=True)
class RatedLamp:
    """The pilot lamp and where it sits: ``place`` is ``tap``, ``series``, ``winding``, ``heater`` or ``unknown``."""

    label: str
    volts: float | None
    amps: float | None
    place: str
    at: str = ""
    count: int = 1
    source: str = ""
    from_memory: bool = False

    @property
    def name(self) -> str:
        """Its type or ratings as written; empty where nothing but “lamp” is."""
        return "" if self.label.casefold() in ("lamp", "pilot lamp", "dial lamp") else self.label

    @property
    def said(self) -> str:
        """``47 lamp``; ``lamp`` alone where it has no name."""
        return f"{self.name} lamp".lstrip()


def si(quantity: Quantity | None) -> float | None:
    """The value, or None where none was written or it is not above zero."""
    return None if quantity is None or quantity.si is None or not quantity.si > 0 else quantity.si


def rating(place: str, bench: Bench) -> Rating:
    """The heater of the tube at ``place``: the record's own figures before the table's."""
    fitted, tube = bench.record.tubes.get(Text(place)), bench.tubes.get(place)
    type_ = str(fitted.type) if fitted else tube.asked if tube else ""
    own = (si(fitted.heater.volts), si(fitted.heater.amps)) if fitted and fitted.heater else (None, None)
    table = Rating(place, type_, None, None) if tube is None else _from_table(place, type_, tube)
    if own[0] is not None and own[1] is not None:
        return replace(table, volts=own[0], amps=own[1], source=OWN, from_memory=False, halves=None, disagreement="")
    return table


def _from_table(place: str, type_: str, tube: Tube) -> Rating:
    heater = tube.heater
    halves = None
    if heater.parallel_volts and heater.parallel_amps:
        halves = (heater.parallel_volts, heater.parallel_amps)
    return Rating(
        place,
        type_,
        heater.volts,
        heater.amps,
        tap_volts=heater.tap_volts if heater.tap_volts and heater.tap_volts < heater.volts else None,
        held=heater.rated_in,
        direct=heater.direct,
        rectifier="rectifier" in (tube.role or ""),
        source=heater.source,
        from_memory=from_memory(heater.sources),
        borne_out=tube.asked_as != "described" and grade.heater_is_borne_out(tube),
        disagreement=tube.disagreement,
        halves=halves,
    )


def halves_side_by_side(one: Rating) -> Rating:
    """A heater in two halves with the halves joined side by side."""
    if one.halves is None:
        return one
    return replace(one, volts=one.halves[0], amps=one.halves[1], side_by_side=True)


def for_current(ratings: tuple[Rating, ...]) -> tuple[Rating, ...]:
    """The string with every two-part heater joined the way that fits the current of the others."""
    common = common_amps([r for r in ratings if r.halves is None])
    if common is None:
        return ratings
    return tuple(
        halves_side_by_side(r) if r.halves and not same(r.amps, common) and same(r.halves[1], common) else r
        for r in ratings
    )


def for_volts(one: Rating, volts: float) -> Rating:
    """The heater joined the way that comes nearer to a supply of ``volts``."""
    if one.halves is None or one.volts is None:
        return one
    return halves_side_by_side(one) if abs(one.halves[0] - volts) < abs(one.volts - volts) else one


def same(one: float | None, other: float | None) -> bool:
    """Whether two currents are one rating."""
    return one is not None and other is not None and abs(one - other) <= SAME_CURRENT * max(one, other)


def common_amps(ratings: Iterable[Rating]) -> float | None:
    """The current most of the tubes are rated at; where two are equally common, the one with more volts behind it."""
    known = [(r.amps, r.volts) for r in ratings if r.amps is not None and r.volts is not None]
    count = Counter(amps for amps, _ in known)
    volts = {amps: math.fsum(v for a, v in known if a == amps) for amps in count}
    return max(count, key=lambda amps: (count[amps], volts[amps], -amps), default=None)


def pilot_lamp(record: Record, positions: Iterable[str]) -> RatedLamp | None:
    """The lamp as written, its volts and amperes from the record or from the table of lamps."""
    written = record.heaters.pilot_lamp if record.heaters else None
    if written is None:
        return None
    label, count = str(written.type), 1
    if counted := _COUNTED.fullmatch(label):
        count, label = max(1, int(counted[1])), counted[2].strip()
    known = lamp(label)
    volts, amps, source, memory = si(written.volts), si(written.amps), OWN, False
    if (volts is None or amps is None) and known:
        volts, amps = known.volts, known.amps
        source, memory = known.source.title, known.source.from_memory
    if volts is None or amps is None:
        volts = amps = None
        source = ""
    place, at = _place(written.across, written.place, record, positions)
    return RatedLamp(label, volts, amps, place, at, count, source, memory)


def _place(across: str | None, series: str | None, record: Record, positions: Iterable[str]) -> tuple[str, str]:
    if across is None:
        order = record.heaters.order if record.heaters else None
        in_order = any(is_lamp(name) for name in order or ())
        return ("series", "") if series or in_order else ("unknown", "")
    words = re.sub(r"[’']s\b", "", across).split()
    names = list(positions)
    tube = next((found for word in words if (found := position(word, names))), None)
    if tube:
        tapped = any(word.casefold() in ("tap", "tapped", "section") for word in words)
        return ("tap" if tapped else "heater"), tube
    windings = record.heaters.windings if record.heaters else {}
    winding = position(" ".join(w for w in words if w.casefold() != "winding"), windings)
    return ("winding", winding) if winding else ("unknown", across)
