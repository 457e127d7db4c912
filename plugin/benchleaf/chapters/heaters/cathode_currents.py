"""What each battery tube's plate and screen draw, which returns through the filaments below, and how that is known."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.elements import RESISTOR
from ...circuit.heater_names import position
from ...circuit.operating import AGREE
from ...circuit.stages import stages_of
from ...circuit.whole_current import newest_whole_current
from ...record.sections.heaters import HeaterSupply
from ...record.text import Text
from ...tubes import Typical
from ..readings.runs import told_apart
from ..readings.working_points import working_points
from .rated import si

if TYPE_CHECKING:
    from ...record.sections.heaters import Battery
    from ..bench import Bench

WRITTEN, READ, BY_DRAIN, BY_TABLE, BY_RESISTORS = "written", "read", "drain", "table", "resistors"

UNSURE_SHARE = 0.25
"""What one tube's part of a known whole may be off by: bias and screen volts differ from set to set. Common practice,
no source."""

LEAST_OF_TABLE, MOST_OF_TABLE = 1 / 3, 1.1
"""What a set's tube draws of its published point: few portables run their tubes at the volts and the bias of the
table. Common practice, no source."""

COUPLED_SHARE = 0.5
"""What a resistance-coupled stage draws of the most that its plate resistor lets through: half of the supply stands at
its plate. Common practice, no source."""

_IN_SERIES = "filament halves in series"
"""The use of a point of the tube table; the halves of any other lie side by side."""


@dataclass(frozen=True, slots=True)
class CathodeCurrent:
    """A tube's plate and screen current in ampere with the ends of what it may be; None where nothing tells it.

    ``by`` says how it is known: ``written``, ``read`` over resistors, ``drain`` (its part of the B battery's),
    ``table`` or ``resistors`` (half of what its plate's lets through).
    """

    amps: float | None
    low_amps: float
    high_amps: float
    by: str
    source: str = ""

    @property
    def sure(self) -> bool:
        """Whether a shunt may be worked out with it."""
        return self.amps is not None and self.by in (WRITTEN, READ, BY_DRAIN)


_UNKNOWN = CathodeCurrent(None, 0.0, 0.0, "")


def b_battery(bench: Bench) -> Battery | None:
    """The battery of the plates."""
    batteries = bench.record.heaters.batteries if bench.record.heaters else {}
    return next((one for name, one in batteries.items() if is_b(str(name))), None)


def is_b(name: str) -> bool:
    return name.casefold() in ("b", "ht")


def cathode_currents(bench: Bench, in_series: frozenset[str] = frozenset()) -> Mapping[str, CathodeCurrent]:
    """Every tube's, by its position; ``in_series`` are those whose filament halves stand in series.

    As written; as its resistors and the newest readings tell; else of the table's point that fits the set best, no more
    than plate and screen resistors let through. Where the B battery's drain is known, what is left of it for tubes of
    the last kind is shared out among them as those points are (Kirchhoff's current law).
    """
    read = _read(bench)
    found = {str(at): _own(str(at), bench, read, in_series) for at in bench.record.tubes}
    whole = _whole(bench)
    guessed = {at: one.amps for at, one in found.items() if one.by in (BY_TABLE, BY_RESISTORS) and one.amps}
    if whole is None or not guessed or any(one.amps is None for one in found.values()):
        return found
    left = whole - math.fsum(one.amps or 0.0 for at, one in found.items() if at not in guessed)
    part = left / math.fsum(guessed.values())
    return {at: _scaled(one, part) if at in guessed and part > 0 else one for at, one in found.items()}


def _scaled(one: CathodeCurrent, part: float) -> CathodeCurrent:
    amps = (one.amps or 0.0) * part
    return replace(one, amps=amps, low_amps=amps * (1 - UNSURE_SHARE), high_amps=amps * (1 + UNSURE_SHARE), by=BY_DRAIN)


def _whole(bench: Bench) -> float | None:
    """All that the B battery gives: as measured, or by what lies in its return."""
    battery = b_battery(bench)
    if battery and (drain := si(battery.drain)):
        return drain
    back = newest_whole_current(bench.circuit) if bench.circuit.mains.power == "battery" else None
    return back.amps if back else None


def _read(bench: Bench) -> dict[str, float]:
    """Plate and screen currents by the resistors that bring them, of the newest list that tells both."""
    found: dict[str, dict[str, float | None]] = {}
    _, measured = told_apart(bench)
    for run in measured:
        points: dict[str, dict[str, float | None]] = {}
        for point in working_points(run, bench).values():
            known = point.cathode_amps if point.cathode_by == "sum" else None
            points.setdefault(point.tube, {})[point.section] = known
        found |= points
    sums = {at: [*of.values()] for at, of in found.items()}
    return {at: math.fsum(a for a in of if a is not None) for at, of in sums.items() if None not in of}


def _own(at: str, bench: Bench, read: Mapping[str, float], in_series: frozenset[str]) -> CathodeCurrent:
    """A tube's by itself. That of an indirectly heated cathode does not flow through its heater."""
    written, known = bench.record.heaters or HeaterSupply(), bench.tubes.get(at)
    place = position(at, written.cathode_currents)
    own = written.cathode_currents[Text(place)].si if place else None
    if own is not None and own >= 0:
        return CathodeCurrent(own, own, own, WRITTEN, "the record")
    if known is not None and not known.heater.direct:
        return CathodeCurrent(0.0, 0.0, 0.0, WRITTEN, known.heater.source)
    if at in read:
        return CathodeCurrent(read[at], read[at] * (1 - AGREE), read[at] * (1 + AGREE), READ, "the record")
    found, most = _of_table(at, bench, halves_in_series=at in in_series), _most_by_resistors(at, bench)
    if most is None or (found.amps is not None and most * COUPLED_SHARE >= found.amps):
        return found
    return CathodeCurrent(most * COUPLED_SHARE, 0.0, most, BY_RESISTORS, "the record")


def _of_table(at: str, bench: Bench, *, halves_in_series: bool) -> CathodeCurrent:
    """By the table's point: with its screen current, halves joined as here, nearest to the B battery's volts."""
    known = bench.tubes.get(at)
    points = [p for p in known.typical if p.plate_amps is not None] if known else []
    if known is None or not points:
        return _UNKNOWN
    in_series = known.heater.parallel_volts is not None and halves_in_series
    battery = b_battery(bench)
    plus = si(battery.volts) if battery else None

    def misfit(point: Typical) -> tuple[bool, bool, float]:
        far = abs(math.log(point.plate_volts / plus)) if plus and point.plate_volts else 0.0
        return point.screen_amps is None, (point.use == _IN_SERIES) != in_series, far

    best = min(points, key=misfit)
    amps = (best.plate_amps or 0.0) + (best.screen_amps or 0.0)
    return CathodeCurrent(amps, amps * LEAST_OF_TABLE, amps * MOST_OF_TABLE, BY_TABLE, best.source)


def _most_by_resistors(at: str, bench: Bench) -> float | None:
    """What plate and screen resistors let through at the B battery's volts; None where one of them has none."""
    battery, network = b_battery(bench), bench.circuit.network
    plus = si(battery.volts) if battery else None
    resistors = bench.circuit.resistors("now", bench.words)
    total = 0.0
    for stage in stages_of(network.places, at):
        for electrode in (*stage.plates, *stage.screens):
            feeds, point = network.feeds(electrode), network.point(electrode)
            through = [r for r in resistors if point in r.ends and r.part in {one.name for one in feeds}]
            if not plus or not feeds or any(one.kind != RESISTOR for one in feeds) or len(through) < len(feeds):
                return None
            total += math.fsum(plus / r.ohms for r in through if r.ohms)
    return total or None
