"""What was measured between chassis and earth, or between line and chassis, beside what was computed for it."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from ...circuit.pieces import Tolerance
from ...electrics.insulation import INSULATION_OHMS
from ...electrics.network_elements import ends
from ...electrics.nodal_analysis import NetworkElement, NetworkError, VoltageSource, Wire, solve
from ...record.sections.line_measured import LineSideMeasurement
from ...record.sections.line_side_words import IN_THE_EARTH_LEAD
from ...record.units import say
from ...report.amount import bound_words
from ...words import Words
from .barriers import ComputedComponent
from .described import DescribedState
from .in_position import InPosition, MeasuredAndComputed, bands_of
from .line_and_load import LineSource
from .taken_across import MeterReads, TakenAcross, taken_across
from .topology import (
    CHASSIS,
    EARTH,
    EARTH_LEAD,
    HOT_LEAD,
    NEUTRAL,
    PLUG_WAYS,
    RETURN_LEAD,
    ReachablePart,
    Wiring,
    network,
)
from .worst_case import at_end

LEAST_VOLTS, LEAST_AMPS = 0.02, 20e-6
"""Common practice, no source: stray capacitance shows this much where the parts alone give nothing."""

MOST_STRAY_FARADS = 2e-9
"""Common practice, no source: between the primary of a transformer and its core, which is the chassis, at most; 0.3 nF
at least."""

NEUTRAL_RISE = 0.02
"""What a neutral is above earth at most, of the line's volts: half of the 4 % that IEC 60364-5-52 lets a line drop on
its way to the socket. From memory."""

TOO_WIDE = 10.0
"""Common practice, no source: where positions differ by more, one that nobody wrote tells nothing."""

INSULATION_FACTOR = 2.0
"""Common practice, no source: a reading off by more than this factor is not that of the resistor in its path."""

_AT_MOST = Tolerance(0.0, 0.0)

_ACROSS = {
    "service network": "across 1500 Ω and 0.15 µF",
    "body network": "across the network of IEC 60990 (U2)",
    "meter": "on a meter of 10 MΩ, assumed",
    "ammeter": "on an ammeter",
    "unknown": "(across what is not written)",
}


@dataclass(frozen=True, slots=True)
class MeasuredTouch:
    """One measurement against earth, in volts or in amperes.

    ``across`` names what stood between the part and earth: ``service network`` (1500 ohm and 0.15 uF), ``body network``
    (IEC 60990, U2), ``load`` (``across_ohms`` with ``across_farads`` beside it), ``meter`` (10 megohm), ``ammeter`` or
    ``unknown``. A reading taken behind an isolating transformer, by its note, or across what is not known, is not
    judged; nor is a current of which nothing says where it was read, in a set with an earth wire, nor what fits some of
    several positions that are far apart while nothing says which it was. ``plug`` and
    ``switch`` are None where they were not written: the band then holds every position, the reading must fit one of
    them, and where others would show something else ``as_plug`` and ``as_switch`` name what it fits.
    """

    date: datetime.date | None
    part: str
    plug: str | None
    switch: str | None
    across: str
    volts: MeasuredAndComputed | None
    amps: MeasuredAndComputed | None
    agrees: bool | None
    across_ohms: float | None = None
    across_farads: float | None = None
    as_plug: str = ""
    as_switch: str = ""

    @property
    def reckoned_amps(self) -> float:
        """The current that the reading comes to, in A; 0 for volts on a meter, which passes none."""
        if self.amps:
            return abs(self.amps.measured)
        ohms = TakenAcross(self.across, self.across_ohms).own_ohms
        return abs(self.volts.measured) / ohms if self.volts and ohms else 0.0

    @property
    def across_words(self) -> str:
        """What stood there, as it follows a measured value."""
        if self.across == "load":
            values = ((self.across_ohms, "ohm"), (self.across_farads, "F"))
            return f"across {' and '.join(say(value, unit) for value, unit in values if value)}"
        return _ACROSS[self.across]


_PARTS_OFF = re.compile(
    r"\b[A-Z]{1,2}\d+\b[^;]*\b(?:off|out|lifted|disconnected|removed|unsoldered)\b"
    r"|\b(?:parts?|capacitors?|condensers?|caps?|ends?|legs?) (?:off|out|lifted|disconnected|removed|unsoldered)\b",
    re.I,
)
"""What is no longer in the path while an insulation is read."""


@dataclass(frozen=True, slots=True)
class MeasuredInsulation:
    """An insulation reading. ``computed_ohms``: the written resistors in its path, both leads joined, switch on.

    ``computed_ohms`` is None where direct current has no path: then more than ``INSULATION_OHMS`` agrees. ``agrees`` is
    None where the reading is not from line to chassis, or parts were off meanwhile. ``before_work`` says that it was
    read of the wiring before the work.
    """

    date: datetime.date | None
    between: str
    test_volts: float | None
    measured_ohms: float | None
    measured_qualifier: str
    computed_ohms: float | None
    agrees: bool | None
    before_work: bool = False


def compare_touches(
    measured: tuple[LineSideMeasurement, ...], described: DescribedState, line: LineSource
) -> tuple[MeasuredTouch, ...]:
    """Every measured voltage or current against earth beside the computed one."""
    return tuple(_touch(m, described, line) for m in measured if not _is_insulation(m) and (m.volts or m.amps))


def _is_insulation(m: LineSideMeasurement) -> bool:
    return m.insulation is not None or m.ohms is not None


def _touch(m: LineSideMeasurement, described: DescribedState, line: LineSource) -> MeasuredTouch:
    in_lead = _is_in_the_earth_lead(m)
    name = str(m.part or CHASSIS)
    part = next((p for p in described.wiring.parts if p.name == name), None)
    if m.part is None and m.amps and not in_lead and described.wiring.earthed:
        part = None
    across = taken_across("" if in_lead else str(m.across or ""), "meter" if m.volts else "ammeter")
    shown = m.volts or m.amps
    taken, bound = (shown.si, bound_words(shown.qualifier)) if shown else (None, "")
    floats = "isolat" in (m.note or "").casefold()
    beside, expected, fitting = None, list[InPosition](), list[InPosition]()
    if taken is not None:
        reads = across.reads if m.volts else across.reads_amps
        wirings = [replace(one, earth=()) if in_lead else one for one in described.wirings]
        expected = [] if part is None or reads is None else list(_expected(m, wirings, part, line, reads))
        risen = {} if part is None or reads is None else _with_neutral_risen(m, wirings, part, line, reads)
        expected = [_widened(one, risen.get((one.plug, one.switch), 0.0)) for one in expected]
        high = max((one.high for one in expected), default=None)
        strayed = {} if part is None or reads is None else _with_strays(m, wirings, part, line, reads)
        strays = max((most for most in strayed.values() if high is not None and most > high), default=None)
        expected = [replace(one, high=max(one.high, strayed.get((one.plug, one.switch), 0.0))) for one in expected]
        beside = MeasuredAndComputed(
            measured=taken,
            computed=max((one.nominal for one in expected), default=None),
            low=min((one.low for one in expected), default=None),
            high=high if strays is None else strays,
            strays=strays,
            bands=bands_of(expected),
            bound=bound,
        )
        fitting = [one for one in expected if one.fits(taken, LEAST_VOLTS if m.volts else LEAST_AMPS, bound)]
    as_plug = "" if m.plug else _the_one((x.plug for x in expected), (x.plug for x in fitting))
    as_switch = "" if m.switch else _the_one((x.switch for x in expected), (x.switch for x in fitting))
    told = not expected or floats or _anything_fits(expected, fitting, f"{as_plug}{as_switch}")
    return MeasuredTouch(
        date=m.date,
        part=EARTH_LEAD if in_lead else name,
        plug=str(m.plug) if m.plug else None,
        switch=str(m.switch) if m.switch else None,
        across=across.kind,
        volts=beside if m.volts else None,
        amps=None if m.volts else beside,
        agrees=None if told else bool(fitting),
        across_ohms=across.ohms,
        across_farads=across.farads,
        as_plug=as_plug,
        as_switch=as_switch,
    )


def _anything_fits(expected: Sequence[InPosition], fitting: Sequence[InPosition], named: str) -> bool:
    """Whether a reading fits some of several positions that are far apart, and nothing says which it was in."""
    shown = sorted(one.high for one in expected)
    return bool(fitting) and len(fitting) < len(expected) and not named and shown[-1] > TOO_WIDE * shown[0]


def _the_one(expected: Iterable[str], fitting: Iterable[str]) -> str:
    """The one way that fits a reading, of several that it may have been; empty where it fits all or more than one."""
    fits = set(fitting)
    return fits.pop() if len(fits) == 1 and fits != set(expected) else ""


def _is_in_the_earth_lead(m: LineSideMeasurement) -> bool:
    """Whether a current was read in the earth wire itself: the meter stands in its place (IEC 60990, the protective
    conductor current)."""
    said = " ; ".join(str(words) for words in (m.part, m.across, m.note) if words)
    return m.amps is not None and IN_THE_EARTH_LEAD.search(said) is not None


def _expected(
    m: LineSideMeasurement, wirings: Sequence[Wiring], part: ReachablePart, line: LineSource, read: MeterReads
) -> Iterator[InPosition]:
    """Low, nominal and high reading in every position that fits what was written."""
    for wiring in wirings:
        ends = (at_end(wiring, line.low_volts, False), wiring, at_end(wiring, line.high_volts, True))
        for plug, switch in _positions(m, wiring):
            try:
                low, nominal, high = (read(network(w, plug, switch), part.node, w.hertz) for w in ends)
            except NetworkError:
                continue
            yield InPosition(plug, switch, low, nominal, high)


def _with_neutral_risen(
    m: LineSideMeasurement, wirings: Sequence[Wiring], part: ReachablePart, line: LineSource, read: MeterReads
) -> Mapping[tuple[str, str], float]:
    """The reading by plug and switch that the neutral's own volts above earth make: both conductors have them."""
    volts = NEUTRAL_RISE * line.high_volts
    most: dict[tuple[str, str], float] = {}
    for wiring in wirings:
        for plug, switch in _positions(m, wiring):
            risen = [_at_neutral(element, volts) for element in network(wiring, plug, switch)]
            try:
                reading = abs(read(tuple(risen), part.node, wiring.hertz))
            except NetworkError:
                continue
            most[plug, switch] = max(reading, most.get((plug, switch), 0.0))
    return most


def _at_neutral(element: NetworkElement, volts: float) -> NetworkElement:
    if isinstance(element, VoltageSource):
        return replace(element, volts=volts)
    at_the_wall = isinstance(element, Wire) and (element.a, element.b) == (NEUTRAL, EARTH)
    return VoltageSource(NEUTRAL, EARTH, volts) if at_the_wall else element


def _widened(one: InPosition, by: float) -> InPosition:
    return replace(one, low=max(one.low - by, 0.0), high=one.high + by)


def _positions(m: LineSideMeasurement, wiring: Wiring) -> Iterator[tuple[str, str]]:
    """Plug and switch in every way that fits what was written."""
    for plug in [str(m.plug)] if m.plug else PLUG_WAYS:
        for switch in [str(m.switch)] if m.switch else wiring.switch_ways():
            yield plug, switch


def _with_strays(
    m: LineSideMeasurement, wirings: Sequence[Wiring], part: ReachablePart, line: LineSource, read: MeterReads
) -> Mapping[tuple[str, str], float]:
    """The high reading by plug and switch of a transformer set with the most that its primary has to the core."""
    stray = ((ComputedComponent("capacitor", MOST_STRAY_FARADS, tolerance=_AT_MOST),),)
    wound = [wiring for wiring in wirings if wiring.double_wound]
    with_it = [
        *(replace(one, hot_to_chassis=one.hot_to_chassis + stray) for one in wound),
        *(replace(one, return_to_chassis=one.return_to_chassis + stray) for one in wound),
    ]
    most: dict[tuple[str, str], float] = {}
    for one in _expected(m, with_it, part, line, read):
        most[one.plug, one.switch] = max(one.high, most.get((one.plug, one.switch), 0.0))
    return most


def compare_insulation(
    measured: tuple[LineSideMeasurement, ...], described: DescribedState, words: Words, *, before_work: bool
) -> tuple[MeasuredInsulation, ...]:
    """Every insulation reading; one from line to chassis beside the resistors that are written in its path."""
    every = (m for m in measured if _is_insulation(m))
    return tuple(_insulation(m, described.wiring, words, before_work=before_work) for m in every)


def _insulation(m: LineSideMeasurement, wiring: Wiring, words: Words, *, before_work: bool) -> MeasuredInsulation:
    between = str(m.insulation or words.of_key("line to chassis"))
    spoken = between.casefold()
    of_line = any(word in spoken for word in ("line", "mains", "plug", "pin", "lead", "primary"))
    comparable = "chassis" in spoken and of_line and not _PARTS_OFF.search(str(m.note or ""))
    computed = ohms_from_both_leads(wiring) if comparable else None
    taken = m.ohms.si if m.ohms else None
    agrees = None
    if comparable and computed is not None and taken is not None:
        agrees = computed / INSULATION_FACTOR <= taken <= computed * INSULATION_FACTOR
    elif comparable and computed is None and taken is not None:
        more = m.ohms is not None and m.ohms.qualifier in ("gt", "ge")
        agrees = taken >= INSULATION_OHMS or (None if more else False)
    elif comparable and computed is not None and m.ohms and m.ohms.qualifier in ("open", "overrange"):
        agrees = False
    return MeasuredInsulation(
        date=m.date,
        between=between,
        test_volts=m.at.si if m.at else None,
        measured_ohms=taken,
        measured_qualifier=m.ohms.qualifier if m.ohms else "",
        computed_ohms=computed,
        agrees=agrees,
        before_work=before_work,
    )


def ohms_from_both_leads(wiring: Wiring) -> float | None:
    """Ohm for direct current from the two leads joined to the chassis, switch on; None where there is no path."""
    inside = (element for element in network(replace(wiring, earth=()), "right", "on") if EARTH not in ends(element))
    joined = solve((*inside, Wire(HOT_LEAD, RETURN_LEAD)), 0.0, earth=HOT_LEAD)
    ohms = joined.thevenin(CHASSIS, HOT_LEAD).ohms
    return None if ohms is None else abs(ohms)
