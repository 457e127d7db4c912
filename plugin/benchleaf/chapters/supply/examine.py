"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.powered_steps import read_amps
from ...circuit.rectifier import DRY_DROP_VOLTS
from ...circuit.rectifier_feed import rectifiers_of
from ...circuit.whole_current import whole_current
from ...electrics.line_current import line_amps
from ...electrics.rectifier import NoSteadyStateError, Rectifier, SteadyState, ripple_by_thumb
from ...record.figures import in_figures, to_figures
from ...record.place_words import B_MINUS, CHASSIS
from ...record.units import say
from ...tubes import from_memory, titles
from ...tubes.rectifiers import RectifierFigures
from ...words import Words
from ..parts.supply_peak import volts_at
from .ac_read import lists_apart
from .by_circuit import by_circuit
from .direct_current import direct_current, winding_current
from .findings import OFF, RESERVOIR_ALLOWANCE, BackBias, LineCurrent, Rail, SupplyFindings, Working
from .found import DescribedSupply, FilterCapacitor, described
from .ripple_read import ripple_read
from .waveforms import FilterValues, b_minus_volts, rectifier_of, run_supply, values_of, volts_to_chassis

if TYPE_CHECKING:
    from ..bench import Bench
    from ..heaters.findings import HeatersFindings
    from ..parts.findings import PartsFindings
    from ..readings.findings import ReadingsFindings

_OVER_ON = 0.02


def examine(
    bench: Bench,
    parts: PartsFindings | None = None,
    heaters: HeatersFindings | None = None,
    readings: ReadingsFindings | None = None,
) -> SupplyFindings | None:
    """The supply’s findings; None for a set without filter capacitors among its parts, or without a rectifier."""
    if parts is None or not any(row.group == "filter" for row in parts.rows()):
        return None
    if not bench.circuit.mains.makes_b_plus:
        return None
    found, lacks = described(bench, parts)
    if found is None:
        return SupplyFindings(lacks=lacks)
    try:
        return _solved(bench, found, heaters, readings)
    except NoSteadyStateError as none:
        return SupplyFindings(refused=str(none))
    except (ValueError, OverflowError):
        return SupplyFindings(lacks=(f"{bench.words.filter_capacitors} and resistors of a believable size",))


def _solved(
    bench: Bench, found: DescribedSupply, heaters: HeatersFindings | None, readings: ReadingsFindings | None
) -> SupplyFindings:
    tube, dry = rectifier_of(found), found.dry
    now = [values_of(stage.now) for stage in found.stages]
    old = [values_of(stage.before) for stage in found.stages]
    if any(not farads for farads, _ in now):
        return SupplyFindings(lacks=(f"the value of each {bench.words.filter_capacitor}",))
    line = found.line_volts[1]
    nominal = run_supply(found, line, tube, now)
    refused: dict[str, str] = {}
    states = (
        (which, volts, nominal if volts == line else _tried(found, which, volts, tube, now, nominal, refused))
        for which, volts in zip(("low", "nominal", "high"), found.line_volts, strict=True)
    )
    working = tuple(_working(found, which, volts, state, now) for which, volts, state in states if state)
    changed = any(s.before.how != "assumed" and o != n for s, o, n in zip(found.stages, old, now, strict=True))
    before = None
    lacks_before = tuple(s.old_part for s in found.stages if not values_of(s.before)[0]) if changed else ()
    if changed and not lacks_before:
        state = _tried(found, "before", line, tube, old, nominal, refused)
        before = _working(found, "before", line, state, old) if state else None
    silicon, series = (None, None) if dry and dry.type == "silicon" else _silicon(found, now, nominal, refused)
    to_b_minus = _read_to_b_minus(bench, found.read_in)
    against = _against_read(found, nominal, tube, to_b_minus=to_b_minus)
    loaded = _on_load(found, tube, now, nominal, refused)
    if loaded is not None and against is not None:
        against = _nearer_to_read(against, _against_read(*loaded, tube, to_b_minus=to_b_minus))
    if against is not None and abs(against) >= OFF:
        working = tuple(replace(one, over_peak=None) for one in working)
        before = replace(before, over_peak=None) if before else None
    limits = found.limits
    first = found.stages[0]
    over = _over_limit(first, limits)
    return SupplyFindings(
        found.kind,
        dry.part if dry else found.position,
        dry.type if dry else bench.tubes[found.position].type,
        found.hertz,
        before,
        working,
        silicon,
        to_figures(series, 2),
        None if dry else _missing_volts(bench, found.position),
        limits.peak_amps.value if limits and limits.peak_amps else None,
        limits.reservoir_farads.value if limits and limits.reservoir_farads else None,
        None if over is None else over > RESERVOIR_ALLOWANCE + 1e-9,
        over,
        limit_source="; ".join(_said(limits, bench.words)) if limits else "",
        line_current=_line_current(bench, found, nominal, heaters),
        computed_against_read=against,
        read_in=found.read_in,
        read_volts=found.read_volts,
        assumed=found.assumed,
        hot_reservoir="" if dry else first.part,
        instead_of=found.position if dry and dry.part != found.position else "",
        dry=dry.type if dry else "",
        square=found.square,
        buffers=found.buffers,
        with_old=tuple((s.old_part, s.before) for s in found.stages) if before else (),
        lacks_before=lacks_before,
        before_it=found.before,
        surge=found.surge,
        coils=tuple(stage.series_name for stage in found.stages if stage.is_coil),
        rests_on=found.rests_on,
        lists_apart=lists_apart(bench),
        peak_limit_published=bool(limits and limits.peak_amps and not from_memory(limits.peak_amps.sources)),
        refused_at=tuple(refused.items()),
        back_bias=_back_bias(bench, found),
        direct=direct_current(bench, found, heaters),
        winding=winding_current(bench, found),
        if_loaded_volts=to_figures(volts_to_chassis(loaded[0], line, loaded[1])[0]) if loaded else None,
        by_circuit=by_circuit(bench, readings, found, tube, now, nominal),
        ripple=next((ripple_read(bench, found, one) for one in working if one.which == "nominal"), ()),
    )


def _on_load(
    found: DescribedSupply, tube: Rectifier, now: FilterValues, near: SteadyState, refused: dict[str, str]
) -> tuple[DescribedSupply, SteadyState] | None:
    """The supply with its AC volts taken as read on load, where the record does not say whether they were."""
    if found.if_loaded is None:
        return None
    loaded = replace(found, volts_per_line_volt=found.volts_per_line_volt * (1 + found.if_loaded))
    state = _tried(loaded, "on load", found.line_volts[1], tube, now, near, refused)
    return None if state is None else (loaded, state)


def _nearer_to_read(off_load: float, on_load: float | None) -> float:
    """What of the two is nearer to the reading, which may have been either; nothing where it lies between them."""
    if on_load is None:
        return off_load
    return 0.0 if off_load <= 0 <= on_load else min(off_load, on_load, key=abs)


def _back_bias(bench: Bench, found: DescribedSupply) -> BackBias | None:
    """How far B- lies below the chassis, computed and as it was read last."""
    if found.back is None:
        return None
    places = bench.circuit.places
    at = bench.circuit.negative_return or places.read(B_MINUS)
    ends = places.read(B_MINUS), places.read(CHASSIS)
    read = next((one for end in ends if (one := volts_at(bench, end, latest=True))), None)
    return BackBias(
        at.name(bench.words),
        found.back.parts,
        found.back.ohms,
        to_figures(b_minus_volts(found, found.line_volts[1])),
        abs(read[0]) if read else None,
        read[1] if read else "",
        found.on_b_minus,
        loads_from_it=whole_current(bench.circuit, found.read_in) is not None,
    )


def _tried(
    found: DescribedSupply,
    which: str,
    line_volts: float,
    rectifier: Rectifier,
    values: FilterValues,
    near: SteadyState,
    refused: dict[str, str],
) -> SteadyState | None:
    """One case beside the nominal one; None where it has no state, with the reason among those ``refused``."""
    try:
        return run_supply(found, line_volts, rectifier, values, near=near)
    except ValueError as none:
        refused[which] = str(none)
        return None


def _said(limits: RectifierFigures, words: Words) -> Iterator[str]:
    """Each figure of a rectifier with its source; of several drops the first is the one that was computed with."""
    for n, drop in enumerate(limits.drops):
        which = "drop" if n == 0 else "another drop"
        note = f": {drop.note}" if drop.note else ""
        at = f"{say(drop.amps, 'A')} for each {words.plate}"
        yield f"{which} {say(drop.volts, 'V')} at {at} ({titles(drop.sources)}{note})"
    for what, limit, unit in (
        (f"peak for each {words.plate}", limits.peak_amps, "A"),
        (f"largest {words.reservoir}", limits.reservoir_farads, "F"),
    ):
        if limit:
            yield f"{what} {say(limit.value, unit)} ({titles(limit.sources)})"


def _over_limit(first: FilterCapacitor, limits: RectifierFigures | None) -> float | None:
    if limits is None or limits.reservoir_farads is None or not first.now.value:
        return None
    return round(first.now.value / limits.reservoir_farads.value - 1, 9)


def _read_to_b_minus(bench: Bench, read_in: str) -> bool:
    """Whether a list was read to B- where that is another point than the chassis."""
    to = next((str(run.to) for name, run in bench.record.readings.items() if str(name) == read_in and run.to), "")
    network, places = bench.circuit.network, bench.circuit.places
    b_minus = places.read(B_MINUS)
    return bool(to) and network.same(places.read(to), b_minus) and not network.same(b_minus, places.read(CHASSIS))


def _against_read(found: DescribedSupply, nominal: SteadyState, tube: Rectifier, *, to_b_minus: bool) -> float | None:
    """B+ computed over B+ read, less one, at the line of the readings; volts are taken in proportion to the line.

    In whole per cent, as the page has it. The capacitors are those that were in when it was read; None where one of
    them had no value.
    """
    read = found.read_volts[0] if found.read_volts else None
    if not read:
        return None
    then = [values_of(stage.then) for stage in found.stages]
    if any(not farads for farads, _ in then):
        return None
    if then != [values_of(stage.now) for stage in found.stages]:
        try:
            nominal = run_supply(found, found.line_volts[1], tube, then, near=nominal)
        except ValueError:
            return None
    line = found.line_volts[1]
    computed = volts_to_chassis(found, line, nominal)[0] + (b_minus_volts(found, line) if to_b_minus else 0.0)
    return round(computed * found.load_line_volts / line / read - 1, 2) + 0.0


def _working(
    found: DescribedSupply, which: str, line_volts: float, state: SteadyState, values: FilterValues
) -> Working:
    scale = line_volts / found.load_line_volts
    rails = tuple(
        Rail(
            stage.rail,
            stage.old_part if which == "before" else stage.part,
            farads or 0.0,
            to_figures(volts),
            to_figures(ripple, 2),
            to_figures(stage.load_amps * scale),
            any(before.is_coil for before in found.stages[: n + 1]),
        )
        for n, (stage, (farads, _), volts, ripple) in enumerate(
            zip(found.stages, values, volts_to_chassis(found, line_volts, state), state.ripple_volts, strict=True)
        )
    )
    total = sum(stage.load_amps for stage in found.stages) * scale
    ripple_hertz = found.hertz * (2 if found.kind in ("full-wave", "doubler") else 1)
    thumb = ripple_by_thumb(total, ripple_hertz, rails[0].farads)
    computed = state.ripple_volts[0]
    peak = found.limits.peak_amps if found.limits else None
    limit = peak.value if peak else None
    return Working(
        which,
        to_figures(line_volts),
        rails,
        to_figures(state.peak_amps / found.beside, 2),
        to_figures(state.rms_amps / found.beside, 2),
        to_figures(state.mean_amps),
        to_figures(state.capacitor_rms_amps, 2),
        to_figures(thumb, 2),
        round(thumb / computed - 1, 2) if computed > 0 else None,
        None if limit is None else state.peak_amps / found.beside > limit * (1 + _OVER_ON),
    )


def _silicon(
    found: DescribedSupply, values: FilterValues, tube: SteadyState, refused: dict[str, str]
) -> tuple[Working | None, float | None]:
    """A silicon diode in the tube’s place at the nominal line, and the series resistor that gives the old B+ again."""
    line = found.line_volts[1]
    diode = Rectifier(None, DRY_DROP_VOLTS["silicon"])
    wanted_volts = tube.mean_volts[0]
    bare = _tried(found, "silicon", line, diode, values, tube, refused)
    if bare is None:
        return None, None
    working = replace(_working(replace(found, beside=1), "silicon", line, bare, values), over_peak=None)
    ohms = 0.0
    step = max((bare.mean_volts[0] - wanted_volts) / max(2.5 * bare.mean_amps, 1e-6), 0.0)
    one, miss = 0.0, bare.mean_volts[0] - wanted_volts
    if miss <= 0.5:
        return working, None
    for _ in range(3):
        ohms = max(one + step, 0.0)
        try:
            off = run_supply(found, line, diode, values, ohms, tube).mean_volts[0] - wanted_volts
        except ValueError:
            return working, None
        if abs(off) < 0.5 or off == miss:
            break
        one, step, miss = ohms, -off * (ohms - one) / (off - miss), off
    return working, max(ohms, 0.0)


def _missing_volts(bench: Bench, position: str) -> float | None:
    if not bench.circuit.mains.straight_from_line:
        return None
    return bench.tubes[position].heater.volts


def _line_current(
    bench: Bench, found: DescribedSupply, nominal: SteadyState, heaters: HeatersFindings | None
) -> LineCurrent | None:
    running = heaters.on_line if heaters else None
    string = running.current_amps if running else None
    if found.kind == "full-wave" or string is None or found.volts_per_line_volt > 1.5:
        return None
    pulses = _rms(nominal.amps)
    read = (
        amps
        for volts, amps, why_not in read_amps(bench.record, tuple(rectifiers_of(bench.circuit)))
        if not why_not and abs(volts / found.line_volts[1] - 1) < 0.06
    )
    whole = LineCurrent(string, pulses, line_amps(nominal.amps, string), string + pulses, next(read, None))
    return in_figures(whole, "pulses_amps", "together_amps", "sum_amps", digits=2)


def _rms(values: Sequence[float]) -> float:
    from ...electrics.rectifier import root_mean_square

    return root_mean_square(values)
