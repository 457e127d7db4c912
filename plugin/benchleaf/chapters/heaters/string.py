"""The heater string as written: its members in order, what is in series with them and what lies across them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace

from ...circuit.dropper_series import beside_the_dropper
from ...circuit.heater_names import DROPPER, LAMP, is_lamp, member_named, position
from ...record.model import Record
from ...record.sections.dropper import Dropper
from ...record.values import Beside
from ..bench import Bench
from .ballast import volts_by_code
from .rated import RatedLamp, Rating, common_amps, for_current, pilot_lamp, rating, same, si

_OF_OHMS = ("resistor", "resistance cord", "ballast")


@dataclass(frozen=True, slots=True)
class FittedDropper:
    """What is written to stand in series with the heaters. ``ohms`` is the measured value where there is one.

    ``tap`` is the setting that is taken to be in use where only mains taps are written. ``beside`` are resistors of the
    parts list in series with it, by name: ``ohms`` holds theirs.
    """

    kind: str
    ohms: float | None
    farads: float | None = None
    rated_watts: float | None = None
    rated_volts: float | None = None
    measured: bool = False
    from_drop: bool = False
    written: str = ""
    length_metres: float | None = None
    holds_amps: float | None = None
    low_volts: float | None = None
    high_volts: float | None = None
    shared_ohms: float | None = None
    drain_amps: float | None = None
    tap: str = ""
    beside: tuple[tuple[str, float], ...] = ()

    @property
    def own_share(self) -> float:
        """What of the ohms is its own, of which it makes the heat."""
        return 1.0 - math.fsum(ohms for _, ohms in self.beside) / self.ohms if self.ohms else 1.0

    def of_rating(self, watts: float | None) -> float | None:
        """Its own heat, of the ``watts`` that it makes with those beside it, over what it may make."""
        return watts * self.own_share / self.rated_watts if watts and self.rated_watts else None


@dataclass(frozen=True, slots=True)
class FittedShunt:
    """A resistor across one tube's heater or several in a row, across a heater's tap section (``tap``), or the lamp.

    ``ohms`` are those that were measured, else those marked.
    """

    name: str
    over: tuple[str, ...]
    tap: bool
    ohms: float
    rated_watts: float | None = None


@dataclass(frozen=True, slots=True)
class FittedThermistor:
    """An NTC resistor as written: ohms at room temperature and in use."""

    cold_ohms: float
    hot_ohms: float


@dataclass(frozen=True, slots=True)
class HeaterString:
    """The string from the line to B-. ``chain`` names its members in order: tube positions, ``dropper``, ``lamp``.

    ``groups`` are the tubes that stand side by side as one member of it.
    """

    tubes: tuple[Rating, ...]
    chain: tuple[str, ...]
    order_written: bool
    left_out: tuple[str, ...]
    unknown_names: tuple[str, ...]
    doubled: tuple[str, ...]
    dropper: FittedDropper | None
    lamp: RatedLamp | None
    current_amps: float | None
    direct_current: bool
    frequency_hertz: float | None
    shunts: tuple[FittedShunt, ...] = ()
    unread_shunts: tuple[str, ...] = ()
    thermistor: FittedThermistor | None = None
    lamp_out: bool = False
    groups: tuple[tuple[str, ...], ...] = ()

    @property
    def known(self) -> bool:
        """Whether every tube of the string has known ratings."""
        return bool(self.tubes) and not self.unknown_names and all(r.known for r in self.tubes)

    @property
    def tapped(self) -> Rating | None:
        """The rectifier across whose tap the lamp sits, where lamp and tap are known."""
        if self.lamp is None or self.lamp.place != "tap" or self.lamp.volts is None:
            return None
        return next((r for r in self.tubes if r.tube == self.lamp.at and r.tap_volts and r.known), None)

    @property
    def series_lamp(self) -> RatedLamp | None:
        """The lamp, where it stands in the string and its ratings are known."""
        return self.lamp if self.lamp and self.lamp.place == "series" and self.lamp.volts is not None else None

    @property
    def mixed(self) -> tuple[Rating, ...]:
        """The tubes rated for another current than most of the string, and without a shunt of their own."""
        bridged = {t for s in self.shunts for t in s.over if not s.tap}
        amps = {t: member.amps for member, names in zip(self.as_members, self.members, strict=True) for t in names}
        apart = (r for r in self.tubes if r.known and r.tube not in bridged)
        return tuple(r for r in apart if not same(amps[r.tube], self.current_amps))

    @property
    def members(self) -> tuple[tuple[str, ...], ...]:
        """The members of the string in order, each by the tubes in it."""
        held = [r.tube for r in self.tubes]
        return tuple(g for t in held if (g := tuple(n for n in self.beside(t) if n in held))[0] == t)

    @property
    def as_members(self) -> tuple[Rating, ...]:
        """Each member of the string as one heater."""
        return as_members(self.tubes, self.members)

    def beside(self, tube: str) -> tuple[str, ...]:
        """All tubes side by side with this one, itself included."""
        return next((g for g in self.groups if tube in g), (tube,))

    @property
    def across(self) -> RatedLamp | None:
        """The lamp across a whole heater, where its ratings are known."""
        known = self.lamp if self.lamp and self.lamp.place == "heater" and self.lamp.volts is not None else None
        return known if known and any(r.tube == known.at for r in self.tubes) else None


def string_of(bench: Bench, apart: frozenset[str] = frozenset()) -> HeaterString:
    """The string as the record has it: its order, or all tubes as listed but those ``apart`` on windings."""
    record = bench.record
    written = record.heaters.order if record.heaters else None
    positions = [str(p) for p in record.tubes]
    chain: list[str] = []
    unknown: list[str] = []
    doubled: list[str] = []
    groups: list[list[str]] = []
    for name in written or [p for p in positions if p not in apart]:
        member = member_named(str(name), positions)
        if member not in chain and member not in (None, DROPPER, LAMP):
            joins = isinstance(name, Beside) and bool(groups) and chain[-1] == groups[-1][-1]
            groups[-1].append(str(member)) if joins else groups.append([str(member)])
        if member is None:
            unknown.append(str(name))
        elif member in chain:
            doubled.append(member)
        else:
            chain.append(member)
    members = tuple(map(tuple, groups))
    tubes = _joined_for(tuple(rating(p, bench) for p in chain if p not in (DROPPER, LAMP)), members)
    amps = common_amps(as_members(tubes, members))
    together = tuple(p for p in members if len(p) > 1)
    dropper, lamp = _with_those_beside(fitted_dropper(record, amps), bench), pilot_lamp(record, positions)
    _put_once(chain, unknown, LAMP, lamp is not None, lamp is not None and lamp.place == "series")
    _put_once(chain, unknown, DROPPER, dropper is not None, dropper is not None)
    shunts, unread = _shunts(record, [r.tube for r in tubes], together)
    mains = bench.circuit.mains
    return HeaterString(
        tubes=tubes,
        chain=tuple(chain),
        order_written=written is not None,
        left_out=tuple(p for p in positions if p not in chain and p not in apart),
        unknown_names=tuple(unknown),
        doubled=tuple(doubled),
        dropper=dropper,
        lamp=lamp,
        current_amps=amps,
        direct_current=mains.direct,
        frequency_hertz=mains.hertz,
        shunts=shunts,
        unread_shunts=unread,
        thermistor=_thermistor(record),
        groups=together,
    )


def as_members(tubes: tuple[Rating, ...], members: tuple[tuple[str, ...], ...]) -> tuple[Rating, ...]:
    """Each member as one heater: tubes side by side have the lowest volts of them and their currents added."""
    known = {r.tube: r for r in tubes}
    found = []
    for names in members:
        one = known[names[0]]
        if len(names) > 1:
            volts, amps = [known[n].volts for n in names], [known[n].amps for n in names]
            lowest = None if None in volts else min(v for v in volts if v is not None)
            total = None if None in amps else math.fsum(a for a in amps if a is not None)
            one = replace(one, volts=lowest, amps=total, halves=None)
        found.append(one)
    return tuple(found)


def _joined_for(tubes: tuple[Rating, ...], members: tuple[tuple[str, ...], ...]) -> tuple[Rating, ...]:
    """Two-part heaters that stand alone, joined for the current of the other members."""
    alone = {p[0] for p in members if len(p) == 1}
    joined = {r.tube: r for r in for_current(as_members(tubes, members)) if r.tube in alone}
    return tuple(joined.get(r.tube, r) for r in tubes)


def _thermistor(record: Record) -> FittedThermistor | None:
    written = record.heaters.ntc if record.heaters else None
    cold, hot = (si(written.cold), si(written.hot)) if written else (None, None)
    return FittedThermistor(cold, hot) if cold and hot and hot < cold else None


def _shunts(
    record: Record, tubes: list[str], groups: tuple[tuple[str, ...], ...]
) -> tuple[tuple[FittedShunt, ...], tuple[str, ...]]:
    """The shunts as written, and the names of those that lie across nothing known here or across one twice.

    What lies across one tube of a group lies across all of it.
    """
    found: list[FittedShunt] = []
    unread: list[str] = []
    for name, shunt in record.heaters.shunts.items() if record.heaters else ():
        words = [
            w for w in re.split(r"[\s,+&]+", str(name)) if w and w.casefold() not in ("and", "across", "to", "beside")
        ]
        tap = len(words) > 1 and words[-1].casefold() == "tap"
        over = (LAMP,) if is_lamp(str(name)) else tuple(position(w, tubes) or "" for w in words[: -1 if tap else None])
        group = next((g for g in groups if set(g) & set(over)), ())
        within = not group or (set(over) <= set(group) and not tap)
        over = group if group and within else over
        ohms = si(shunt.measured) or si(shunt.ohms)
        taken = {t for s in found if s.tap == tap for t in s.over}
        if ohms is None or not over or "" in over or not within or taken & set(over):
            unread.append(str(name))
        else:
            found.append(FittedShunt(str(name), over, tap, ohms, si(shunt.watts)))
    return tuple(found), tuple(unread)


def _put_once(chain: list[str], unknown: list[str], member: str, written: bool, in_string: bool) -> None:
    """Puts the lamp or the dropper at the line end where the order does not place it; notes one that is not written."""
    if in_string and member not in chain:
        chain.insert(0, member)
    if not in_string and member in chain:
        chain.remove(member)
        if not written:
            unknown.append(member)


def fitted_dropper(record: Record, amps: float | None) -> FittedDropper | None:
    """The dropper as written; a ballast given by its drop alone is the resistance of that drop at ``amps``."""
    written = record.heaters.dropper if record.heaters else None
    lamp = pilot_lamp(record, map(str, record.tubes))
    in_series = (lamp.volts or 0.0) * lamp.count if lamp and lamp.place == "series" else 0.0
    return None if written is None else fitted_as(written, amps, lamp_apart=in_series)


def _with_those_beside(dropper: FittedDropper | None, bench: Bench) -> FittedDropper | None:
    """The dropper with the resistors in series with it, where the record does not write what is in its place now."""
    written = bench.record.heaters.dropper if bench.record.heaters else None
    if dropper is None or written is None or written.now or dropper.kind not in _OF_OHMS or not dropper.ohms:
        return dropper
    beside = tuple(beside_the_dropper(bench.circuit).items())
    return replace(dropper, ohms=math.fsum((dropper.ohms, *(ohms for _, ohms in beside))), beside=beside)


def fitted_as(dropper: Dropper, amps: float | None, *, lamp_apart: float = 0.0) -> FittedDropper:
    """What one written dropper is in a string of ``amps``, the new one where it has been replaced.

    ``lamp_apart`` are the volts of a lamp in the string, which those of a coded ballast hold already.
    """
    written = dropper.now or dropper
    ohms = si(written.measured) or si(written.ohms)
    drop = si(written.volts) or volts_by_code(written, lamp_apart=lamp_apart)
    read = written.measured if si(written.measured) else None
    value = read or written.ohms or written.farads or written.volts
    from_drop = ohms is None and written.kind in ("ballast", "resistor", "resistance cord") and bool(drop and amps)
    if from_drop and drop and amps:
        ohms = drop / amps
    spread = written.volts
    return FittedDropper(
        kind=str(written.kind),
        ohms=ohms,
        farads=si(written.farads),
        rated_watts=si(written.watts),
        rated_volts=drop,
        measured=si(written.measured) is not None,
        from_drop=from_drop,
        written=value.written if value else str(written.type or ""),
        length_metres=si(written.length),
        holds_amps=si(written.amps),
        low_volts=spread.low if spread else None,
        high_volts=spread.high if spread else None,
        shared_ohms=None if dropper.now else si(dropper.shared),
        drain_amps=None if dropper.now else si(dropper.drain),
    )
