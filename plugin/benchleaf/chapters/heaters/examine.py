"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

import math
from dataclasses import replace

from ...circuit.dead_string import open_dropper
from ...circuit.heater_names import LAMP
from ...circuit.line_scaling import selector_volts
from ...electrics.droppers import left_for_dropper
from ...electrics.heaters import Shunted
from ...electrics.heaters import pilot_lamp as physics_lamp
from ...record.sections.heaters import HeaterSupply
from ..bench import Bench
from .ballast import coded_ballast
from .cases import (
    diode_rectifier,
    lamp_cases,
    shorted_heaters,
    wanted_shunts,
)
from .cathode_currents import cathode_currents
from .choices import WantedDropper, choices, wanted_dropper
from .feeding import Feed, beside_filaments, feed_of, filament_dropper, three_way
from .findings import HeatersFindings, SweepPoint
from .gaps import assumed_of, missing_of
from .line_voltages import arrangement_of, line_voltages
from .measured import beside_computed, read_in_band
from .portable import (
    Cathodes,
    cathodes_of,
    drains,
    filament_runs,
    on_battery,
    on_own_supply,
    with_cathodes,
    without_shunts_for,
)
from .rated import Rating, pilot_lamp, si
from .running import DRAIN_WITH_LAMP_AMPS, RunningLine, TubeRunning, run
from .selector import read_of_rated, selected
from .string import HeaterString, string_of
from .switching import switch_on
from .taps import dropper_taps, transformer_taps, with_tap
from .verdicts import band, built_without_dropper, judged
from .windings import Windings, fed, from_battery, wanted

_SWEEP = tuple(0.80 + 0.05 * k for k in range(9))


def examine(bench: Bench) -> HeatersFindings | None:
    """All findings on the heater supply; None where neither the heaters nor the kind of supply are written."""
    record = bench.record
    if record.heaters is None and (not bench.circuit.mains.power or not record.tubes):
        return None
    arrangement = arrangement_of(bench.circuit)
    if arrangement in ("series", "mixed"):
        return _of_string(bench, arrangement)
    return _of_windings(bench, arrangement)


def _of_string(bench: Bench, arrangement: str) -> HeatersFindings:
    record, mains = bench.record, bench.circuit.mains
    supply = record.heaters or HeaterSupply()
    lamp = pilot_lamp(record, map(str, record.tubes))
    wound = fed(bench, lamp) if supply.windings else None
    second = _second(bench)
    apart = frozenset(t.tube for w in wound.windings for t in w.tubes) if wound else frozenset()
    apart |= frozenset(r.tube for r in second.ratings) if second else frozenset()
    apart |= beside_filaments(bench)
    in_order = {str(name).casefold() for name in supply.order or ()}
    string = string_of(bench, frozenset(t for t in apart if t.casefold() not in in_order))
    asked = line_voltages(mains.volts, si(supply.measured.line) if supply.measured else None)
    nominal_volts = next((v for v, which in asked if "nominal" in which), None)
    string = with_tap(string, supply.mains_taps, nominal_volts, selector_volts(supply.mains_selector))
    running = tuple(
        run(string, volts, which, frequency_hertz=_frequency(supply, which)) for volts, which in asked if string.tubes
    )
    cathodes = cathodes_of(bench, string) if supply.batteries or on_own_supply(bench, string) else {}
    filaments, apart_from_line = filament_runs(bench, string, cathodes), three_way(bench, string.tubes)
    feed = feed_of(bench, string, nominal_volts, filaments)
    if filaments or apart_from_line:
        running = with_cathodes(running, bench, string, nominal_volts, cathodes)
    nominal = next((r for r in running if "nominal" in r.which), on_battery(filaments, string))
    at_measured = next((r for r in running if "measured" in r.which), nominal)
    rated = {r.tube: r.volts for r in string.tubes}
    bands = {r.tube: band(r) for r in string.tubes if r.direct and (filaments or apart_from_line)}
    total = math.fsum(r.volts for r in string.as_members if r.volts) if string.known else None
    beside = _lamp_volts(string) + _thermistor_volts(string)
    ahead = si(supply.filament_supply) if apart_from_line else feed.volts
    wanted_ohms = None if filaments else wanted_dropper(nominal_volts, total, beside, string)
    left = None if total is None or ahead is None else left_for_dropper(ahead, total + beside)
    fitted = string.dropper
    measured = beside_computed(
        supply,
        string,
        at_measured,
        feed.volts if feed.kind == "battery" else nominal_volts,
        rated,
        bench.words,
        own_supply=bool(filaments) or apart_from_line,
        bands=bands,
    )
    read = {} if _read_elsewhere(feed, bench) else read_in_band(measured, bands, at_measured, nominal)
    sound = bool(bands) and bands.keys() <= read.keys()
    taps = () if filaments or apart_from_line else dropper_taps(string, supply.mains_taps, nominal_volts)
    findings = HeatersFindings(
        arrangement=arrangement,
        rated_sum_volts=None if total is None else round(total, 9),
        rated_current_amps=string.current_amps if string.known else None,
        left_for_dropper_volts=None if left is None else round(left, 9),
        dropper=_filament_dropper(bench, string, cathodes, sound=sound) if apart_from_line else wanted_ohms,
        running=running,
        line_volts=nominal_volts,
        feed=feed,
        line_limits_assumed=mains.volts is not None and mains.volts.limits_assumed,
        judged=judged(string.tubes, nominal, no_dropper=feed.kind == "line" and _no_dropper(supply, string), read=read),
        mixed=tuple(r.tube for r in string.mixed),
        fitted_of_rating=fitted.of_rating(nominal.dropper_watts) if fitted and nominal else None,
        heat_watts=nominal.heat_watts if nominal else None,
        windings=wound.windings if wound else (),
        measured=measured,
        filaments=tuple(without_shunts_for(run, read) for run in filaments),
        drains=drains(bench, filaments, nominal.current_amps if nominal else None, cathodes),
        mains_taps=taps,
        selected=selected(supply.mains_selector, taps, nominal_volts, wound=False),
        open_dropper=open_dropper(bench.circuit),
        diode_rectifier=diode_rectifier(bench.tube(supply.diode_in_place_of)),
        second=second,
        ballast=coded_ballast(supply.dropper and (supply.dropper.now or supply.dropper), string.current_amps),
        missing=missing_of(bench, arrangement, string, wound),
        assumed=assumed_of(bench, string, wound),
        string=string,
        ratings=string.tubes,
        lamp=lamp,
        on_battery=on_battery(filaments, string),
        sweep=() if filaments or apart_from_line else _sweep(string, nominal_volts),
        before_rectifier=run(string, nominal_volts, "", drain_amps=0) if string.tapped and nominal_volts else None,
        current="DC" if string.direct_current or apart_from_line else "AC",
        note=str(supply.note or ""),
    )
    if filaments or apart_from_line or nominal_volts is None:
        return findings
    return _with_cases(findings, string, supply, bench, beside)


def _read_elsewhere(feed: Feed, bench: Bench) -> bool:
    """Whether the filaments were read on the line while they are judged on their battery."""
    measured = bench.record.heaters.measured if bench.record.heaters else None
    on_line = bench.circuit.mains.from_line and measured is not None and measured.line is not None
    return feed.kind == "battery" and on_line


def _filament_dropper(bench: Bench, string: HeaterString, cathodes: Cathodes, *, sound: bool) -> WantedDropper | None:
    """The dropper of a three-way set; none where every filament was measured in its band behind the one that is in."""
    return None if sound and string.dropper else filament_dropper(bench, string, cathodes)


def _with_cases(
    findings: HeatersFindings, string: HeaterString, supply: HeaterSupply, bench: Bench, lamp_volts: float
) -> HeatersFindings:
    """What else the nominal line could do to this string, and what could be done about it."""
    line, nominal, wanted = findings.line_volts or 0.0, findings.nominal, findings.dropper
    high = max((r.line_volts for r in findings.running), default=line)
    amps = nominal.current_amps if nominal else None
    tapped = bench.tubes.get(string.tapped.tube) if string.tapped else None
    total = (findings.rated_sum_volts or 0.0) + lamp_volts
    second = findings.second
    return replace(
        findings,
        running=_joined(findings.running, second.running) if second else findings.running,
        choices=choices(string, line, high, total, wanted) if wanted else (),
        lamp_cases=lamp_cases(string, line, DRAIN_WITH_LAMP_AMPS) if amps else (),
        shorted=shorted_heaters(string, line) if amps else (),
        wanted_shunts=wanted_shunts(string),
        switch_on=switch_on(string, line, amps),
        tap_limits=tuple((limit.condition, limit.amps) for limit in tapped.maxima.dc) if tapped else (),
    )


def _joined(first: tuple[RunningLine, ...], second: tuple[RunningLine, ...]) -> tuple[RunningLine, ...]:
    """The lines of both strings with the tubes of both; the current is the first string's."""
    other = {line.line_volts: line.tubes for line in second}
    return tuple(replace(line, tubes={**line.tubes, **other.get(line.line_volts, {})}) for line in first)


def _second(bench: Bench) -> HeatersFindings | None:
    """The second string, beside the first on the same line, as a set of its own."""
    record = bench.record
    supply = record.heaters
    if supply is None or not supply.second_string:
        return None
    wanted = {str(name).casefold() for name in supply.second_string}
    own = HeaterSupply(order=supply.second_string, dropper=supply.second_dropper)
    tubes = {p: t for p, t in record.tubes.items() if str(p).casefold() in wanted}
    apart = replace(bench.circuit, record=record.model_copy(update={"heaters": own, "tubes": tubes}))
    return _of_string(replace(bench, circuit=apart), "series")


def _no_dropper(supply: HeaterSupply, string: HeaterString) -> bool:
    """Whether the set never had a dropper: taps are one, and a diode in a tube's place asks for one."""
    return built_without_dropper(string) and not (supply.mains_taps or supply.diode_in_place_of)


def _frequency(supply: HeaterSupply, which: str) -> float | None:
    return si(supply.measured.frequency) if supply.measured and "measured" in which else None


def _thermistor_volts(string: HeaterString) -> float:
    """What an NTC takes once it is hot, at the string's current."""
    return string.thermistor.hot_ohms * (string.current_amps or 0.0) if string.thermistor else 0.0


def _lamp_volts(string: HeaterString) -> float:
    """What the series lamp takes, with its shunt, at the string's rated current."""
    lamp, amps = string.series_lamp, string.current_amps
    if lamp is None or not (lamp.volts and lamp.amps and amps):
        return 0.0
    bulb = physics_lamp(lamp.volts * lamp.count, lamp.amps)
    shunt = next((s.ohms for s in string.shunts if s.over == (LAMP,)), None)
    return Shunted(bulb, shunt).volts_at(amps) if shunt else bulb.volts if lamp.amps == amps else bulb.volts_at(amps)


def _of_windings(bench: Bench, arrangement: str) -> HeatersFindings:
    record, mains = bench.record, bench.circuit.mains
    supply = record.heaters or HeaterSupply()
    lamp = pilot_lamp(record, map(str, record.tubes))
    direct = not supply.windings and arrangement == "parallel" and not mains.from_line
    supplies = from_battery(bench, lamp) if direct else fed(bench, lamp)
    ratings = tuple(r for w in supplies.windings for r in w.ratings) + supplies.unfed
    asked = line_voltages(mains.volts, si(supply.measured.line) if supply.measured else None)
    nominal_volts = next((v for v, which in asked if "nominal" in which), None)
    wound = mains.wound or bool(supply.windings)
    made_for = (selector_volts(supply.mains_selector) if wound else None) or si(supply.primary)
    reference = made_for or nominal_volts
    running = tuple(_at_line(supplies, ratings, v, which, reference) for v, which in asked if ratings)
    nominal = next((r for r in running if "nominal" in r.which), None) or _at_line(supplies, ratings, 1.0, "", 1.0)
    at_measured = next((r for r in running if "measured" in r.which), nominal)
    rated = {r.tube: r.volts for r in ratings}
    groups = wanted(ratings)
    read_at = supply.measured.line.si if supply.measured and supply.measured.line else None
    taps = transformer_taps(supplies.windings, supply.mains_taps, nominal_volts, wound=wound)
    return HeatersFindings(
        arrangement=arrangement,
        rated_sum_volts=None,
        rated_current_amps=groups[0].amps if len(groups) == 1 and all(r.known for r in ratings) else None,
        left_for_dropper_volts=None,
        dropper=None,
        running=running if arrangement == "parallel" else (),
        line_volts=nominal_volts,
        feed=Feed("line", nominal_volts),
        line_limits_assumed=mains.volts is not None and mains.volts.limits_assumed,
        judged=judged(ratings, nominal) if arrangement == "parallel" else {},
        windings=supplies.windings,
        wanted=wanted(supplies.unfed),
        measured=beside_computed(supply, None, at_measured, nominal_volts, rated, bench.words),
        mains_taps=taps,
        selected=selected(
            supply.mains_selector,
            taps,
            nominal_volts,
            wound=wound,
            read_of_rated=read_of_rated(supplies.windings, read_at, nominal_volts),
        ),
        primary_volts=made_for if supplies.windings and not direct else None,
        drains=drains(
            bench,
            (),
            supplies.windings[0].load_amps if direct else None,
            cathode_currents(bench) if supply.batteries else {},
        ),
        missing=missing_of(bench, arrangement, None, supplies),
        assumed=assumed_of(bench, None, supplies),
        ratings=ratings,
        lamp=lamp,
        current="DC" if mains.direct else "AC",
        note=str(supply.note or ""),
    )


def _at_line(
    supplies: Windings, ratings: tuple[Rating, ...], line_volts: float, which: str, nominal_volts: float | None
) -> RunningLine:
    """Windings follow the line in proportion."""
    volts: dict[str, float] = {}
    for winding in supplies.windings:
        if winding.volts and nominal_volts:
            volts |= {t.tube: winding.volts * line_volts / nominal_volts for t in winding.tubes}
    tubes = {r.tube: _tube_at(r, volts.get(r.tube)) for r in ratings}
    return RunningLine(line_volts, None, tubes, which)


def _tube_at(one: Rating, volts: float | None) -> TubeRunning:
    share = volts / one.volts if volts and one.volts else None
    return TubeRunning(volts, one.volts, share, share)


def _sweep(string: HeaterString, nominal: float | None) -> tuple[SweepPoint, ...]:
    points = []
    for factor in _SWEEP if nominal and string.known else ():
        tubes = run(string, (nominal or 0) * factor, "").tubes.values()
        shares = [t.judged_of_rated for t in tubes if t.judged_of_rated is not None]
        if shares:
            points.append(SweepPoint((nominal or 0) * factor, min(shares), max(shares)))
    return tuple(points)
