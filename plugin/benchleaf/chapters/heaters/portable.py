"""Battery filaments in series: whose cathode current flows through which, what shunts take, and what it all draws."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from ...circuit.heater_names import position
from ...circuit.whole_current import WholeCurrent, newest_whole_current
from ...electrics.filaments import Filament, Span, as_one, running_members, series_filaments
from ...record.figures import in_figures
from ...record.sections.heaters import HeaterSupply
from ...record.text import Text
from ...tubes import Typical
from ..bench import Bench
from .line_voltages import BATTERY_VOLTS, supply_volts
from .rated import si
from .running import RunningLine, TubeRunning
from .string import HeaterString

SECONDS_AN_HOUR = 3600.0
_IN_SERIES = "filament halves in series"
"""The use of a point of the tube table; the halves of any other lie side by side."""


@dataclass(frozen=True, slots=True)
class FilamentAt:
    """One filament, from A+ to B-. What arrives and the shunts are those of all filaments beside it.

    ``arriving_amps`` is the supply's current and that of all cathodes nearer A+.

    ``wanted_shunt_ohms`` would take what is over the rating at rated volts; None where nothing is over, or
    where the set's dropper is not known.
    """

    tube: str
    cathode_amps: float | None
    cathode_source: str
    arriving_amps: float | None
    excess_amps: float | None
    wanted_shunt_ohms: float | None
    preferred_shunt_ohms: float | None
    shunt_ohms: float | None
    shunt_over: tuple[str, ...]
    volts: float | None
    of_rated: float | None


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


def filament_runs(bench: Bench, string: HeaterString) -> tuple[FilamentRun, ...]:
    """The series string of a battery or three-way set; empty for any other, or where a filament is not known."""
    if not string.known or not on_own_supply(bench, string):
        return ()
    written = bench.record.heaters or HeaterSupply()
    found = []
    if battery := supply_volts(bench.circuit):
        found.append(_run("battery", battery, 0.0, string, bench))
    fed, dropper = si(written.filament_supply), string.dropper
    if bench.circuit.mains.from_line and fed and dropper and dropper.ohms:
        found.append(_run("line", fed, dropper.ohms, string, bench))
    runs = tuple(run for run in found if run is not None)
    if bench.circuit.mains.from_line and not any(run.supply == "line" for run in runs):
        return tuple(_without_shunts(run) for run in runs)
    return runs


def _without_shunts(run: FilamentRun) -> FilamentRun:
    rows = tuple(replace(f, wanted_shunt_ohms=None, preferred_shunt_ohms=None) for f in run.filaments)
    return replace(run, filaments=rows, shunts_known=False)


def on_own_supply(bench: Bench, string: HeaterString) -> bool:
    """Whether the string is one of battery filaments: any of it, as a heater among them is fed alike."""
    written = bench.record.heaters or HeaterSupply()
    direct = any(r.direct or bench.tubes.get(r.tube) is None for r in string.tubes)
    return bench.circuit.mains.on_batteries and (direct or written.filament_supply is not None)


def filaments_of(bench: Bench, string: HeaterString) -> tuple[list[tuple[Filament, ...]], list[float | None]]:
    """The members of the string with the cathode currents that count, and the shunt across each."""
    members = _members(string, _cathodes(bench, string) if _counts_cathodes(bench) else {})
    shunts = [next((s.ohms for s in string.shunts if s.over == names), None) for names in string.members]
    return members, shunts


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


def _cathodes(bench: Bench, string: HeaterString) -> dict[str, tuple[float | None, str]]:
    return {r.tube: _cathode(r.tube, bench, side_by_side=r.side_by_side) for r in string.tubes}


def _members(string: HeaterString, cathodes: Mapping[str, tuple[float | None, str]]) -> list[tuple[Filament, ...]]:
    adds = {tube: amps or 0.0 for tube, (amps, _) in cathodes.items()}
    filaments = {r.tube: Filament(r.volts or 0, r.amps or 0, adds.get(r.tube, 0.0)) for r in string.tubes}
    return [tuple(filaments[tube] for tube in names) for names in string.members]


def _run(supply: str, volts: float, ohms: float, string: HeaterString, bench: Bench) -> FilamentRun | None:
    from ...electrics.preferred import nearest

    known = _cathodes(bench, string)
    members, shunts = filaments_of(bench, string)
    try:
        amps, running = running_members(members, shunts, volts, ohms, spans_of(string))
    except (ValueError, OverflowError):
        return None
    whole = [as_one(member) for member in _members(string, known)]
    wanted = series_filaments(whole, min(f.amps for f in whole))
    rated = {r.tube: r.volts for r in string.tubes}
    rows = [
        FilamentAt(
            tube=tube,
            cathode_amps=known[tube][0],
            cathode_source=known[tube][1],
            arriving_amps=at.arriving_amps,
            excess_amps=want.excess_amps,
            wanted_shunt_ohms=want.shunt_ohms,
            preferred_shunt_ohms=nearest(want.shunt_ohms, "E24") if want.shunt_ohms else None,
            shunt_ohms=fitted.ohms if fitted else None,
            shunt_over=fitted.over if fitted else (),
            volts=at.volts,
            of_rated=at.volts / (rated[tube] or 1.0),
        )
        for names, at, want in zip(string.members, running, wanted, strict=True)
        for fitted in [next((s for s in string.shunts if not s.tap and set(names) <= set(s.over)), None)]
        for tube in names
    ]
    return FilamentRun(supply, volts, ohms, amps, tuple(rows), cathodes_counted=_counts_cathodes(bench))


def with_cathodes(
    running: tuple[RunningLine, ...], bench: Bench, string: HeaterString, nominal: float | None
) -> tuple[RunningLine, ...]:
    """The running lines of a battery or three-way set with the cathode currents in them; none that cannot be known."""
    written, mains = bench.record.heaters or HeaterSupply(), bench.circuit.mains
    fed, dropper = si(written.filament_supply), string.dropper
    found = []
    for line in running:
        if line.line_volts <= BATTERY_VOLTS:
            at = _run("", line.line_volts, 0.0, string, bench)
        elif mains.from_line and fed and nominal and dropper and dropper.ohms:
            at = _run("", fed * line.line_volts / nominal, dropper.ohms, string, bench)
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
    tubes = {f.tube: TubeRunning(f.volts, rated[f.tube], f.of_rated, f.of_rated) for f in at.filaments}
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


def _cathode(tube: str, bench: Bench, *, side_by_side: bool) -> tuple[float | None, str]:
    """A tube's plate and screen current: as written, or of the table's point that fits the set best.

    That of an indirectly heated cathode does not flow through its heater. The best: with its screen current, the
    filament's halves joined as here, and nearest to the B battery's volts.
    """
    written, known = bench.record.heaters or HeaterSupply(), bench.tubes.get(tube)
    place = position(tube, written.cathode_currents)
    own = written.cathode_currents[Text(place)].si if place else None
    if own is not None and own >= 0:
        return own, "the record"
    if known is not None and not known.heater.direct:
        return 0.0, known.heater.source
    points = [p for p in known.typical if p.plate_amps is not None] if known else []
    if not points:
        return None, ""
    in_series = known is not None and known.heater.parallel_volts is not None and not side_by_side
    plus = next((si(b.volts) for name, b in written.batteries.items() if str(name).casefold() == "b"), None)

    def misfit(point: Typical) -> tuple[bool, bool, float]:
        far = abs(math.log(point.plate_volts / plus)) if plus and point.plate_volts else 0.0
        return point.screen_amps is None, (point.use == _IN_SERIES) != in_series, far

    at = min(points, key=misfit)
    return (at.plate_amps or 0.0) + (at.screen_amps or 0.0), at.source


def drains(
    bench: Bench, runs: tuple[FilamentRun, ...], load_amps: float | None, cathodes: float | None
) -> tuple[Drain, ...]:
    """Each battery of the set: the measured drain, or the computed one for A and, by its return or the cathode
    currents, for B."""
    found, record = [], bench.record
    back = newest_whole_current(bench.circuit) if bench.circuit.mains.power == "battery" else None
    back = in_figures(back, "amps") if back else None
    for name, battery in record.heaters.batteries.items() if record.heaters else ():
        measured = si(battery.drain)
        on_battery = next((r.amps for r in runs if r.supply == "battery"), load_amps)
        is_b = str(name).casefold() == "b"
        computed = {"a": on_battery, "b": back.amps if back else cathodes}.get(str(name).casefold())
        amps, capacity = measured or computed, si(battery.capacity)
        hours = capacity / amps / SECONDS_AN_HOUR if capacity and amps else None
        found.append(
            Drain(str(name), si(battery.volts), amps, measured is not None, capacity, hours, back if is_b else None)
        )
    return tuple(found)


def cathode_sum(bench: Bench, string: HeaterString | None) -> float | None:
    """The cathode currents of all tubes together; None where one is not known. Outside a string halves are beside."""
    in_series = {r.tube for r in string.tubes if not r.side_by_side} if string else set()
    places = map(str, bench.record.tubes)
    known = [_cathode(place, bench, side_by_side=place not in in_series)[0] for place in places]
    return math.fsum(k for k in known if k is not None) if known and None not in known else None
