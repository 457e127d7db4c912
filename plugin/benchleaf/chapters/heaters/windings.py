"""Heaters fed by windings of a transformer, or side by side from a battery: loads and volts against ratings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from ...circuit.heater_feed import heaters_fed
from ...circuit.heater_names import fed_by
from ...circuit.read_volts import plain_readings
from ...circuit.rectifier_feed import plates_fed, rectifiers_of
from ...record.place_words import folded
from ...record.sections.list_names import measured_runs
from ...record.text import Text
from ..bench import Bench
from .bands import BAND
from .line_voltages import supply_volts
from .rated import RatedLamp, Rating, for_volts, rating, si

ALIKE = 0.15
"""A tube is taken to hang on the winding whose volts are within this share of its own. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class WindingTube:
    """A tube on a winding: its rating, and the winding's nominal volts as a share of it."""

    tube: str
    type: str
    rated_volts: float | None
    rated_amps: float | None
    of_rated: float | None


@dataclass(frozen=True, slots=True)
class HeaterWinding:
    """One supply of heaters in parallel. ``load_amps`` counts tubes and lamps; None where a rating is not known.

    ``plates`` are the rectifiers whose plates it feeds: a high-voltage winding, which is not judged as one of heaters.
    """

    name: str
    volts: float | None
    rated_amps: float | None
    tubes: tuple[WindingTube, ...]
    lamp_amps: float
    tubes_amps: float | None
    load_amps: float | None
    spare_amps: float | None
    of_rating: float | None
    overloaded: bool | None
    measured_volts: float | None
    measured_of_nominal: float | None
    measured_verdict: str | None
    rectifier: bool
    feeds_written: bool
    unread: tuple[str, ...]
    battery: bool = False
    ratings: tuple[Rating, ...] = field(default=(), metadata={"json": False})
    plates: tuple[str, ...] = field(default=(), metadata={"json": False})


@dataclass(frozen=True, slots=True)
class WantedWinding:
    """What tubes without a winding ask for: all that are rated alike, together."""

    volts: float
    amps: float
    tubes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Windings:
    """All supplies of a set whose heaters are in parallel, and the tubes none of them is known to feed."""

    windings: tuple[HeaterWinding, ...]
    unfed: tuple[Rating, ...]
    twice: tuple[str, ...]
    lamp_unplaced: bool


def fed(bench: Bench, lamp: RatedLamp | None) -> Windings:
    """Which winding feeds which tube, as written; what is not written is sorted by the tubes' rated volts."""
    record = bench.record
    written = dict(record.heaters.windings) if record.heaters else {}
    positions = [str(p) for p in record.tubes]
    ratings = {p: rating(p, bench) for p in positions}
    named: dict[str, list[str]] = {}
    plates: dict[str, tuple[str, ...]] = {}
    unread: dict[str, tuple[str, ...]] = {}
    for name, winding in written.items():
        if winding.feeds is not None:
            feeds = str(winding.feeds)
            _, spans = fed_by(feeds, positions, rectifiers_of(bench.circuit))
            unread[name] = tuple(feeds[start:end] for start, end in spans)
            plates[name] = plates_fed(bench.circuit, winding)
            named[name] = list(heaters_fed(bench.circuit, winding))
        elif high := plates_fed(bench.circuit, winding):
            named[name], plates[name] = [], high
    taken = [p for tubes in named.values() for p in tubes]
    free = [p for p in positions if p not in taken]
    open_ = {str(name): si(w.volts) for name, w in written.items() if name not in named}
    for p in free:
        if home := _home(ratings[p], open_):
            named.setdefault(home, []).append(p)
    homeless = [p for p in positions if not any(p in tubes for tubes in named.values())]
    lamp_on = _lamp_winding(lamp, {str(name): si(w.volts) for name, w in written.items()}, named)
    made = tuple(
        _winding(
            str(name),
            si(w.volts),
            si(w.amps),
            tuple(ratings[p] for p in named.get(name, [])),
            lamp if lamp_on == name else None,
            _measured(bench, name),
            feeds_written=w.feeds is not None,
            unread=unread.get(name, ()),
            plates=plates.get(name, ()),
        )
        for name, w in written.items()
    )
    return Windings(
        made,
        tuple(ratings[p] for p in homeless),
        tuple(dict.fromkeys(p for p in taken if taken.count(p) > 1)),
        lamp is not None and lamp_on is None,
    )


def from_battery(bench: Bench, lamp: RatedLamp | None) -> Windings:
    """Filaments side by side across the line itself: an accumulator, or the filament cell of a battery set."""
    record = bench.record
    volts = supply_volts(bench.circuit)
    ratings = tuple(rating(str(p), bench) for p in record.tubes)
    battery = _winding("battery", volts, None, ratings, lamp, None, feeds_written=False, unread=(), battery=True)
    return Windings((battery,), (), (), False)


def _home(one: Rating, open_: dict[str, float | None]) -> str | None:
    """The winding without ``feeds`` whose volts come nearest to the tube's; an unknown tube goes on the only one."""
    if not one.known:
        return next(iter(open_)) if len(open_) == 1 else None
    near: list[tuple[float, str]] = []
    for name, volts in open_.items():
        joined = for_volts(one, volts) if volts else one
        if volts and joined.volts and abs(volts / joined.volts - 1) <= ALIKE:
            near.append((abs(volts / joined.volts - 1), name))
    return min(near)[1] if near else None


def _lamp_winding(lamp: RatedLamp | None, volts: dict[str, float | None], named: dict[str, list[str]]) -> str | None:
    """The winding the lamp loads: the one named, the one that feeds the tube named, or the only one of its volts."""
    if lamp is None:
        return None
    if lamp.place == "winding":
        return lamp.at
    if lamp.place in ("heater", "tap"):
        return next((name for name, tubes in named.items() if lamp.at in tubes), None)
    alike = [n for n, v in volts.items() if v and lamp.volts and abs(v / lamp.volts - 1) <= ALIKE]
    return alike[0] if len(alike) == 1 else None


def _measured(bench: Bench, name: str) -> float | None:
    """What was read of a winding: as written of it, else the AC volts of its name in the newest list that has them."""
    written = bench.record.heaters
    if written is None:
        return None
    reading = written.measured.volts.get(Text(name)) if written.measured else None
    own = si(reading) if reading else si(written.windings[Text(name)].measured)
    return own if own is not None else next(_read_in_lists(bench, name), None)


def _read_in_lists(bench: Bench, name: str) -> Iterator[float]:
    """The AC volts at a point of a winding's name, the newest measured list first."""
    for run in reversed(measured_runs(bench.record.readings).values()):
        for at, volts, mark in plain_readings(run, bench.circuit.places):
            if mark == "ac" and not at.tube and folded(at.name()) == folded(name):
                yield abs(volts)


def _winding(
    name: str,
    volts: float | None,
    rated_amps: float | None,
    ratings: tuple[Rating, ...],
    lamp: RatedLamp | None,
    measured: float | None,
    *,
    feeds_written: bool,
    unread: tuple[str, ...],
    battery: bool = False,
    plates: tuple[str, ...] = (),
) -> HeaterWinding:
    joined = tuple(for_volts(r, volts) if volts else r for r in ratings)
    tubes_amps = _total([r.amps for r in joined])
    lamp_amps = 0.0 if lamp is None else _total([lamp.amps] * lamp.count)
    load = None if tubes_amps is None or lamp_amps is None or plates else tubes_amps + lamp_amps
    return HeaterWinding(
        name=name,
        volts=volts,
        rated_amps=rated_amps,
        tubes=tuple(
            WindingTube(r.tube, r.type, r.volts, r.amps, volts / r.volts if volts and r.volts else None) for r in joined
        ),
        lamp_amps=lamp_amps or 0.0,
        tubes_amps=tubes_amps,
        load_amps=load,
        spare_amps=rated_amps - load if rated_amps and load is not None else None,
        of_rating=load / rated_amps if rated_amps and load is not None else None,
        overloaded=load > rated_amps * (1 + 1e-9) if rated_amps and load is not None else None,
        measured_volts=measured,
        measured_of_nominal=measured / volts if measured and volts else None,
        measured_verdict=of_measured(measured / volts) if measured and volts and not plates else None,
        rectifier=bool(joined) and all(r.rectifier for r in joined),
        feeds_written=feeds_written,
        unread=unread,
        battery=battery,
        ratings=joined,
        plates=plates,
    )


def of_measured(share: float) -> str:
    """A winding's measured volts against its nominal ones: the heaters' own band."""
    low, high = BAND
    return "low" if share < low else "high" if share > high else "within"


def _total(amps: list[float | None]) -> float | None:
    known = [a for a in amps if a is not None]
    return math.fsum(known) if len(known) == len(amps) else None


def wanted(ratings: tuple[Rating, ...]) -> tuple[WantedWinding, ...]:
    """What tubes that no winding is known to feed ask for, by their rated volts."""
    known = [r for r in ratings if r.volts is not None and r.amps is not None]
    return tuple(
        WantedWinding(volts, math.fsum(r.amps or 0 for r in known if r.volts == volts), _names(known, volts))
        for volts in dict.fromkeys(r.volts for r in known if r.volts is not None)
    )


def _names(ratings: list[Rating], volts: float) -> tuple[str, ...]:
    return tuple(r.tube for r in ratings if r.volts == volts)
