"""Battery filaments in series: whose cathode current flows through which, what shunts take, and what it all draws."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from ...circuit.whole_current import WholeCurrent, newest_whole_current
from ...electrics.filaments import Filament, Span, as_one, running_members, series_filaments
from ...record.figures import in_figures
from ...record.sections.heaters import HeaterSupply
from ..bench import Bench
from .cathode_currents import CathodeCurrent, cathode_currents, is_b
from .line_voltages import BATTERY_VOLTS, supply_volts
from .rated import si
from .running import RunningLine, TubeRunning
from .string import HeaterString

SECONDS_AN_HOUR = 3600.0

Cathodes = Mapping[str, CathodeCurrent]
End = Literal["amps", "low_amps", "high_amps"]


@dataclass(frozen=True, slots=True)
class FilamentAt:
    """One filament, from A+ to B-. What arrives and the shunts are those of all filaments beside it.

    ``arriving_amps`` is the supply's current and that of all cathodes nearer A+. ``low_of_rated`` and ``high_of_rated``
    are what it may run at with the cathode currents as small and as large as they may be; None where these are known.

    ``wanted_shunt_ohms`` would take what is over the rating at rated volts; None where nothing is over, or where the
    set's dropper or a cathode current nearer A+ (``shunt_unsure``) is not known.
    """

    tube: str
    cathode_amps: float | None
    cathode_source: str
    cathode_by: str
    cathode_low_amps: float | None
    cathode_high_amps: float | None
    arriving_amps: float | None
    excess_amps: float | None
    wanted_shunt_ohms: float | None
    preferred_shunt_ohms: float | None
    shunt_ohms: float | None
    shunt_over: tuple[str, ...]
    volts: float | None
    of_rated: float | None
    low_of_rated: float | None = None
    high_of_rated: float | None = None
    shunt_unsure: bool = False


@dataclass(frozen=True, slots=True)
class FilamentRun:
    """The string on one supply: ``battery``, or ``line`` through the filament dropper.

    ``shunts_known`` is false where the set also plays from the line and how its filaments run there is not known: a
    shunt that suits the battery would change what they have on the line.

    ``cathodes_counted`` is false where neither shunts nor cathode currents are written: a set of this kind has shunts
    for them, so the tube table's currents alone do not burn filaments out.
    """

    supply: str
    supply_volts: float
    dropper_ohms: float
    amps: float
    filaments: tuple[FilamentAt, ...]
    shunts_known: bool = True
    cathodes_counted: bool = True


@dataclass(frozen=True, slots=True)
class Drain:
    """What one battery gives and for how long; hours None where the capacity is not written.

    ``in_the_return`` is what passes what lies between B- and the chassis, by its volts; it is the whole of the B
    battery's, and the ``amps`` where those were not measured.
    """

    name: str
    volts: float | None
    amps: float | None
    measured: bool
    capacity_coulombs: float | None
    hours: float | None
    in_the_return: WholeCurrent | None = None


def cathodes_of(bench: Bench, string: HeaterString) -> Cathodes:
    """Every tube's cathode current, with the halves of its filament as they are joined in the string."""
    return cathode_currents(bench, frozenset(r.tube for r in string.tubes if not r.side_by_side))


def filament_runs(bench: Bench, string: HeaterString, cathodes: Cathodes) -> tuple[FilamentRun, ...]:
    """The series string of a battery or three-way set; empty for any other, or where a filament is not known."""
    if not string.known or not on_own_supply(bench, string):
        return ()
    written = bench.record.heaters or HeaterSupply()
    found = []
    if battery := supply_volts(bench.circuit):
        found.append(_run("battery", battery, 0.0, string, bench, cathodes))
    fed, dropper = si(written.filament_supply), string.dropper
    if bench.circuit.mains.from_line and fed and dropper and dropper.ohms:
        found.append(_run("line", fed, dropper.ohms, string, bench, cathodes))
    runs = tuple(run for run in found if run is not None)
    if bench.circuit.mains.from_line and not any(run.supply == "line" for run in runs):
        return tuple(_without_shunts(run) for run in runs)
    return runs


def _without_shunts(run: FilamentRun) -> FilamentRun:
    rows = tuple(replace(f, wanted_shunt_ohms=None, preferred_shunt_ohms=None) for f in run.filaments)
    return replace(run, filaments=rows, shunts_known=False)


def without_shunts_for(run: FilamentRun, sound: Mapping[str, float]) -> FilamentRun:
    """A run that wants no shunt across filaments that were measured within their band, where it rests on a guess."""

    def row(one: FilamentAt) -> FilamentAt:
        if one.tube not in sound or one.low_of_rated is None:
            return one
        return replace(one, wanted_shunt_ohms=None, preferred_shunt_ohms=None, shunt_unsure=False)

    return replace(run, filaments=tuple(map(row, run.filaments)))


def on_own_supply(bench: Bench, string: HeaterString) -> bool:
    """Whether the string is one of battery filaments: any of it, as a heater among them is fed alike."""
    written = bench.record.heaters or HeaterSupply()
    direct = any(r.direct or bench.tubes.get(r.tube) is None for r in string.tubes)
    return bench.circuit.mains.on_batteries and (direct or written.filament_supply is not None)


def filaments_of(
    bench: Bench, string: HeaterString, cathodes: Cathodes, end: End = "amps"
) -> tuple[list[tuple[Filament, ...]], list[float | None]]:
    """The members of the string with the cathode currents that count, at one ``end`` of them, and each one's shunt."""
    members = _members(string, cathodes if _counts_cathodes(bench) else {}, end)
    shunts = [next((s.ohms for s in string.shunts if s.over == names), None) for names in string.members]
    return members, shunts


def ends_of(bench: Bench, string: HeaterString, cathodes: Cathodes) -> tuple[End, ...]:
    """The ends of the cathode currents that the string is to be worked out at besides; none where they are known."""
    counted = [cathodes[r.tube] for r in string.tubes] if _counts_cathodes(bench) else []
    return ("low_amps", "high_amps") if any(c.low_amps < c.high_amps for c in counted) else ()


def spans_of(string: HeaterString) -> list[Span]:
    """The shunts that lie across several members which follow each other, each from A+ to B-."""
    members = list(string.members)
    found = []
    for shunt in string.shunts:
        at = [k for k, names in enumerate(members) if set(names) <= set(shunt.over)]
        if not shunt.tap and len(at) > 1 and at[-1] - at[0] == len(at) - 1:
            found.append(Span(at[0], len(at), shunt.ohms))
    return found


def _counts_cathodes(bench: Bench) -> bool:
    """Whether the filaments are computed with their cathode currents: as soon as the record says anything of these."""
    written = bench.record.heaters
    return written is not None and bool(written.shunts or written.cathode_currents)


def _members(string: HeaterString, cathodes: Cathodes, end: End = "amps") -> list[tuple[Filament, ...]]:
    adds = {tube: getattr(one, end) or 0.0 for tube, one in cathodes.items()}
    filaments = {r.tube: Filament(r.volts or 0, r.amps or 0, adds.get(r.tube, 0.0)) for r in string.tubes}
    return [tuple(filaments[tube] for tube in names) for names in string.members]


def _run(
    supply: str, volts: float, ohms: float, string: HeaterString, bench: Bench, cathodes: Cathodes
) -> FilamentRun | None:
    from ...electrics.preferred import nearest

    spans = spans_of(string)
    try:
        amps, running = running_members(*filaments_of(bench, string, cathodes), volts, ohms, spans)
        ends = [
            [at.volts for at in running_members(*filaments_of(bench, string, cathodes, end), volts, ohms, spans)[1]]
            for end in ends_of(bench, string, cathodes)
        ]
    except (ValueError, OverflowError):
        return None
    spread = [sorted((at.volts, *(end[k] for end in ends))) for k, at in enumerate(running)]
    whole = [as_one(member) for member in _members(string, cathodes)]
    sure = [all(cathodes[tube].sure for tube in names) for names in string.members]
    wanted = series_filaments(whole, min(f.amps for f in whole))
    rated = {r.tube: r.volts for r in string.tubes}
    rows = [
        FilamentAt(
            tube=tube,
            cathode_amps=cathodes[tube].amps,
            cathode_source=cathodes[tube].source,
            cathode_by=cathodes[tube].by,
            cathode_low_amps=cathodes[tube].low_amps if cathodes[tube].amps else None,
            cathode_high_amps=cathodes[tube].high_amps if cathodes[tube].amps else None,
            arriving_amps=at.arriving_amps,
            excess_amps=want.excess_amps,
            wanted_shunt_ohms=want.shunt_ohms if all(sure[:k]) else None,
            preferred_shunt_ohms=nearest(want.shunt_ohms, "E24") if want.shunt_ohms and all(sure[:k]) else None,
            shunt_ohms=fitted.ohms if fitted else None,
            shunt_over=fitted.over if fitted else (),
            volts=at.volts,
            of_rated=at.volts / (rated[tube] or 1.0),
            low_of_rated=spread[k][0] / (rated[tube] or 1.0) if ends else None,
            high_of_rated=spread[k][-1] / (rated[tube] or 1.0) if ends else None,
            shunt_unsure=bool(want.shunt_ohms) and not all(sure[:k]),
        )
        for k, (names, at, want) in enumerate(zip(string.members, running, wanted, strict=True))
        for fitted in [next((s for s in string.shunts if not s.tap and set(names) <= set(s.over)), None)]
        for tube in names
    ]
    return FilamentRun(supply, volts, ohms, amps, tuple(rows), cathodes_counted=_counts_cathodes(bench))


def with_cathodes(
    running: tuple[RunningLine, ...], bench: Bench, string: HeaterString, nominal: float | None, cathodes: Cathodes
) -> tuple[RunningLine, ...]:
    """The running lines of a battery or three-way set with the cathode currents in them; none that cannot be known."""
    written, mains = bench.record.heaters or HeaterSupply(), bench.circuit.mains
    fed, dropper = si(written.filament_supply), string.dropper
    found = []
    for line in running:
        if line.line_volts <= BATTERY_VOLTS:
            at = _run("", line.line_volts, 0.0, string, bench, cathodes)
        elif mains.from_line and fed and nominal and dropper and dropper.ohms:
            at = _run("", fed * line.line_volts / nominal, dropper.ohms, string, bench, cathodes)
        else:
            continue
        found.append(_as_line(line, at, string) if at else line)
    return tuple(found)


def on_battery(runs: tuple[FilamentRun, ...], string: HeaterString) -> RunningLine | None:
    """The string on its battery, as a line."""
    run = next((run for run in runs if run.supply == "battery"), None)
    return _as_line(RunningLine(run.supply_volts, None, {}, "battery"), run, string) if run else None


def _as_line(line: RunningLine, at: FilamentRun, string: HeaterString) -> RunningLine:
    rated = {r.tube: r.volts for r in string.tubes}
    tubes = {
        f.tube: TubeRunning(
            f.volts, rated[f.tube], f.of_rated, f.of_rated, low_of_rated=f.low_of_rated, high_of_rated=f.high_of_rated
        )
        for f in at.filaments
    }
    drop = at.amps * at.dropper_ohms
    return RunningLine(
        line.line_volts,
        at.amps,
        tubes,
        line.which,
        string_volts=at.supply_volts,
        dropper_volts=drop or None,
        dropper_watts=drop * at.amps or None,
        heat_watts=at.supply_volts * at.amps,
    )


def drains(
    bench: Bench, runs: tuple[FilamentRun, ...], load_amps: float | None, cathodes: Cathodes
) -> tuple[Drain, ...]:
    """Each battery of the set: the measured drain, or the computed one for A and, by its return or the cathode
    currents, for B."""
    found, record = [], bench.record
    back = newest_whole_current(bench.circuit) if bench.circuit.mains.power == "battery" else None
    back = in_figures(back, "amps") if back else None
    for name, battery in record.heaters.batteries.items() if record.heaters else ():
        measured = si(battery.drain)
        on_battery = next((r.amps for r in runs if r.supply == "battery"), load_amps)
        of_plates = is_b(str(name))
        computed = on_battery if str(name).casefold() == "a" else None
        if of_plates:
            computed = back.amps if back else _sum(cathodes)
        amps, capacity = measured or computed, si(battery.capacity)
        hours = capacity / amps / SECONDS_AN_HOUR if capacity and amps else None
        found.append(
            Drain(
                str(name), si(battery.volts), amps, measured is not None, capacity, hours, back if of_plates else None
            )
        )
    return tuple(found)


def _sum(cathodes: Cathodes) -> float | None:
    """The cathode currents of all tubes together; None where one is not known."""
    known = [one.amps for one in cathodes.values()]
    return math.fsum(k for k in known if k is not None) if known and None not in known else None
