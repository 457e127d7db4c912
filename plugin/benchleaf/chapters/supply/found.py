"""The supply as the record describes it: what feeds the rectifier, its capacitors in order, what draws from each."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from ...circuit.back_bias import ReturnPath, return_path
from ...circuit.elements import WINDING
from ...circuit.in_place import InPlace, When
from ...circuit.line_scaling import as_it_stands, line_of
from ...circuit.operating import AGREE
from ...circuit.places import Place
from ...circuit.rectifier import TAP_OHMS, WINDING_OHMS, WIRING_OHMS, DryRectifier
from ...circuit.rectifier_feed import plates_beside, rectifier_ac, series_ohms, series_parts
from ...circuit.whole_current import whole_current
from ...circuit.winding_source import winding_source
from ...record.place_words import B_MINUS
from ...record.units import say
from ...tubes.rectifiers import RectifierFigures, rectifier_figures
from ...words import Words
from ..parts.supply_peak import latest_volts
from .ac_read import rests_on
from .cathode_rail import plates_that_charge, rail_unknown, taken_for_the_cathode
from .drawn import Drawn, drawn_from
from .filter_rails import FilterRail, ends_at_b_minus, filter_rails

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ..bench import Bench
    from ..parts.findings import PartFindings, PartsFindings

VIBRATOR_HERTZ, VIBRATOR_DUTY = 115.0, 0.85
"""From memory."""


@dataclass(frozen=True, slots=True)
class FilterCapacitor:
    """What stores at one rail of the filter, before the work, when the rails were read (``then``) and now.

    ``part`` names what is in now, ``old_part`` what was in before: of several side by side all. ``series_name`` leads
    to it with ``series_ohms`` or ``series_henries``; ``is_coil`` says that it is a choke or field coil whose inductance
    nobody wrote.
    """

    rail: str
    part: str
    before: InPlace
    then: InPlace
    now: InPlace
    load_amps: float
    series_name: str = ""
    series_ohms: float = 0.0
    series_henries: float = 0.0
    is_coil: bool = False
    old_part: str = ""


@dataclass(frozen=True, slots=True)
class DescribedSupply:
    """All that the solver needs, and what was assumed. ``load_line_volts`` is the line the loads were read at.

    ``before`` says what the record has of the ``ohms``, ``surge`` the names of its resistors before the rectifier.
    ``back`` is what lies in the negative return; ``on_b_minus`` says that the first capacitor ends at B- itself.
    ``beside`` plates charge the first rail side by side.
    ``if_loaded`` is the share by which the volts rise if those of the winding were read on load, where the record does
    not say.
    """

    kind: str
    hertz: float
    volts_per_line_volt: float
    ohms: float
    line_volts: tuple[float, float, float]
    position: str
    limits: RectifierFigures | None
    stages: tuple[FilterCapacitor, ...]
    load_line_volts: float
    read_in: str
    read_volts: tuple[float | None, ...]
    square: bool
    assumed: tuple[str, ...]
    dry: DryRectifier | None = None
    buffers: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    surge: tuple[str, ...] = ()
    rests_on: str = ""
    if_loaded: float | None = None
    beside: int = 1
    back: ReturnPath | None = None
    on_b_minus: bool = False


def described(bench: Bench, parts: PartsFindings) -> tuple[DescribedSupply | None, tuple[str, ...]]:
    """The supply, or None and what the record would have to give."""
    lacks: list[str] = []
    position = next(
        (str(p) for p, t in bench.tubes.items() if "rectifier" in (t.role or "") and "output" not in (t.role or "")), ""
    )
    mains = bench.circuit.mains
    if mains.volts is None:
        return None, (f"a {bench.words.line} voltage",)
    dry = bench.circuit.dry_rectifier
    if not position and dry is None:
        return None, (f"a rectifier among the {bench.words.tubes}",)
    rails = filter_rails(bench, parts)
    filtered = _stages(bench, parts, rails) if rails else ""
    read_in, drawn = ("", 0.0) if isinstance(filtered, str) else (filtered[1], sum(s.load_amps for s in filtered[0]))
    source = _source(bench, position, read_in, drawn)
    if isinstance(source, str):
        return None, (source,)
    kind, ratio, ohms, hertz, assumed, before, rests_on, if_loaded = source
    surge = {} if mains.vibrator else series_parts(bench.circuit, "now")
    if not rails:
        return None, (
            f"a {bench.words.filter_capacitor} from a rail such as {bench.words.rail.format(1)} to "
            f"{bench.words.b_minus} or the chassis",
        )
    if isinstance(filtered, str):
        return None, (filtered,)
    if unknown := rail_unknown(bench, rails[0].place):
        return None, (unknown,)
    stages, read_in, read, more = filtered
    nominal = mains.volts.nominal
    at = _line_of(bench, read_in) or nominal
    limits = rectifier_figures(bench.tubes[position]) if dry is None else None
    if dry is not None:
        assumed = (*assumed, f"{dry.part}, {dry.type}, drops {dry.drop_volts:g} V")
    elif limits is None:
        assumed = (*assumed, f"{position} drops 20 V at 100 mA")
    beside = plates_beside(bench.circuit, position, rails[0].place) if dry is None else 1
    assumed = (*assumed, *plates_that_charge(bench, position, rails[0].place, beside))
    found = DescribedSupply(
        kind,
        hertz,
        ratio,
        ohms,
        (mains.volts.low, nominal, mains.volts.high),
        position,
        limits,
        stages,
        at,
        read_in,
        read,
        mains.vibrator,
        (*assumed, *more),
        dry,
        tuple(row.name for row in parts.rows() if row.buffer),
        (*before, *(f"{name} {say(ohms, 'ohm')}" for name, ohms in surge.items())),
        tuple(surge),
        rests_on,
        if_loaded,
        beside,
        None if "doubler" in kind else return_path(mains, bench.circuit.network, "now"),
        ends_at_b_minus(bench, rails[0].rows[0]),
    )
    return found, tuple(lacks)


_Source = tuple[str, float, float, float, tuple[str, ...], tuple[str, ...], str, float | None]
"""Kind, peak volts per line volt, ohms in series, hertz, what was assumed, what was measured of the transformer, what
alternating volts it rests on, and by what share these rise if they were read on load."""


def _source(bench: Bench, position: str, read_in: str, amps: float) -> _Source | str:
    """What feeds the rectifier; its AC volts are those of the list that B+ is held against, where it has them.

    ``amps`` of direct current were drawn then.
    """
    mains, heaters = bench.circuit.mains, bench.record.heaters
    if mains.straight_from_line:
        if mains.direct:
            return f"an alternating {bench.words.line}: on DC the rectifier only passes it on"
        if mains.hertz is None:
            return f"the frequency of the {bench.words.line}"
        assumed = [f"{WIRING_OHMS:g} Ω for {bench.words.line} and wiring"]
        ohms = WIRING_OHMS + series_ohms(bench.circuit, "now")
        lamp = heaters.pilot_lamp if heaters else None
        if lamp is not None and "tap" in str(lamp).casefold():
            ohms += TAP_OHMS
            assumed.append(f"{TAP_OHMS:g} Ω for the heater tap and its lamp")
        return bench.circuit.doubling or "half-wave", math.sqrt(2), ohms, mains.hertz, tuple(assumed), (), "", None
    dry = bench.circuit.dry_rectifier
    source = winding_source(bench.circuit, read_in, "now", dry)
    if source is None and rectifier_ac(bench.circuit, read_in) is None:
        at = (
            f"at the {bench.words.plate} of {position}"
            if position
            else "at the rectifier, or the winding that feeds it"
        )
        return f"an AC reading {at}"
    if source is None:
        return f"a {bench.words.line} voltage"
    read = source.ac
    nominal = read.line_volts or (mains.volts.nominal if mains.volts else 0.0)
    kind = bench.circuit.doubling or ("full-wave" if source.paths > 1 else "half-wave")
    winding = f"{WINDING_OHMS:g} Ω for {'each half of the' if source.halves else 'the'} winding"
    if mains.vibrator:
        on = rests_on(bench, read)
        ratio = read.volts / math.sqrt(VIBRATOR_DUTY) / nominal
        written = bench.record.vibrator and bench.record.vibrator.frequency
        hertz = (written.si if written else None) or VIBRATOR_HERTZ
        assumed_of = f"a vibrator of {hertz:g} Hz, closed {VIBRATOR_DUTY:.0%} of the time"
        return kind, ratio, WINDING_OHMS, hertz, (assumed_of, winding), (), on, None
    if mains.hertz is None:
        return f"the frequency of the {bench.words.line}"
    bare = source.no_load(amps)
    ratio, on = math.sqrt(2) * bare.volts / nominal, rests_on(bench, read, bare)
    rise = bare.if_loaded / bare.volts - 1 if bare.if_loaded else None
    measured = source.measured
    if measured is None:
        return kind, ratio, source.ohms, mains.hertz, (winding,), (), on, rise
    half = "each half of " if source.halves else ""
    told = [f"{say(measured.winding, 'ohm')} of {half}the winding, measured before power"]
    if measured.primary:
        told.append(f"{say(measured.stepped, 'ohm', digits=2)} for its primary of {say(measured.primary, 'ohm')}")
    return kind, ratio, source.ohms, mains.hertz, (), tuple(told), on, rise


_Filtered = tuple[tuple[FilterCapacitor, ...], str, tuple[float | None, ...], tuple[str, ...]]


def _stages(bench: Bench, parts: PartsFindings, rails: list[FilterRail]) -> _Filtered | str:
    chain, leads = [rails[0]], []
    for rail in rails[1:]:
        lead = _lead(bench, parts, chain[-1].place, rail.place)
        if lead is not None:
            chain.append(rail)
            leads.append(lead)
    flows: list[float] = []
    volts: list[float | None] = []
    read_in = ""
    for (before, rail), lead in zip(pairwise(chain), leads, strict=True):
        read = latest_volts(bench, (before.place, rail.place))
        if read is None:
            return (
                f"readings at {before.place.name(bench.words)} and {rail.place.name(bench.words)}, on both sides of "
                f"{lead.name}"
            )
        then = lead.at_work(bench.circuit.day_of(read[2]))
        if then.unit != "ohm" or not then.value:
            return (
                f"the ohms that {lead.name} had when {before.place.name(bench.words)} and "
                f"{rail.place.name(bench.words)} were read"
            )
        flows.append(max((read[0] - read[1]) / then.value, 0.0))
        volts = [read[0], read[1]] if not volts else [*volts, read[1]]
        read_in = read[2]
    b_minus = bench.circuit.places.read(B_MINUS)
    if not flows and (here := latest_volts(bench, (rails[0].place, b_minus))) is not None:
        volts, read_in = [here[0]], here[2]
    words = bench.words
    first = rails[0].place.name(words)
    direct = _by_the_return(bench, read_in, first, flows)
    if direct is None:
        direct = drawn_from(bench, [rail.place for rail in chain], flows[0] if flows else None)
    if direct.lacks:
        return ", and ".join(direct.lacks)
    if not direct.tubes and not flows:
        return f"what draws current from {first}: an output {words.tube} among the {words.tubes}"
    nothing = () if direct.tubes else (f"nothing draws from {first} but what follows it",)
    taken = taken_for_the_cathode(bench)
    left_out = tuple(f"what {rail.place.name(words)} draws is left out" for rail in rails if rail not in chain)
    at_line = _line_of(bench, read_in)
    scale = at_line / direct.line_volts if at_line and direct.line_volts else 1.0
    loads = [direct.amps * scale, *flows]
    for i in range(1, len(loads) - 1):
        loads[i] -= loads[i + 1]
    day = bench.circuit.day_of(read_in)
    coils = frozenset(element.name for element in bench.circuit.network.elements if element.kind == WINDING)
    stages = tuple(
        _stage(rail, lead, max(load, 0.0), day, words, coils)
        for rail, lead, load in zip(chain, [None, *leads], loads, strict=True)
    )
    return stages, read_in, tuple(volts), (*direct.assumed, *nothing, *taken, *left_out)


def _by_the_return(bench: Bench, run: str, first: str, flows: Sequence[float]) -> Drawn | None:
    """What the first rail gives by the current that was read in the negative return.

    None where none was, or less than leads on to the second rail: one of the two is wrong.
    """
    whole = whole_current(bench.circuit, run)
    if whole is None or (flows and whole.amps < flows[0] * (1 - AGREE)):
        return None
    parts = " and ".join(whole.parts)
    said = f"all that {first} gives is the {say(whole.amps, 'A')} that {parts} carried"
    return Drawn(max(whole.amps - (flows[0] if flows else 0.0), 0.0), tubes=whole.parts, assumed=(said,))


def _line_of(bench: Bench, name: str) -> float | None:
    """The line that a list of readings holds for, with the selector as it stands now; the set's own by default."""
    volts = bench.circuit.mains.volts
    at = line_of(bench.circuit, name) or (volts.nominal if volts else None)
    return as_it_stands(bench.circuit, name, at) if at else None


def _lead(bench: Bench, parts: PartsFindings, one: Place, other: Place) -> PartFindings | None:
    """The resistor or choke that leads from one rail to the next."""
    rows = {row.name: row for row in parts.rows()}
    for element in bench.circuit.network.between(one, other):
        row = rows.get(element.name)
        now = row.at("now").value if row and row.kind in ("resistor", "inductor") else None
        if row is not None and now and now > 0:
            return row
    return None


def _stage(
    rail: FilterRail,
    lead: PartFindings | None,
    load: float,
    day: When,
    words: Words,
    coils: frozenset[str],
) -> FilterCapacitor:
    series = lead.at_work("now") if lead else InPlace()
    return FilterCapacitor(
        rail=rail.place.name(words),
        part=rail.names("now"),
        old_part=rail.names("before"),
        before=rail.at("before"),
        then=rail.at(day),
        now=rail.at("now"),
        load_amps=load,
        series_name=lead.name if lead else "",
        series_ohms=series.value or 0.0 if series.unit == "ohm" else 0.0,
        series_henries=series.value or 0.0 if series.unit == "H" else 0.0,
        is_coil=lead is not None and series.unit == "ohm" and lead.name in coils,
    )
