"""Every reading of every list beside what is expected there, made comparable for the line and for the set's own B+."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.closed.switched import resting_oscillators, switched_otherwise
from ...circuit.line_scaling import line_factor, share_at_primary
from ...circuit.resistors import ResistorInPlace
from ...record.place_words import FIRST_RAILS
from ...words import AMERICAN, Words
from .behind import source_at
from .direct_coupling import own_cathode
from .judging import NOT_EXPECTED, NOT_READ, Adjusted, Allowed, allowed, middle, single, tolerance_or_usual, verdict
from .meters import may_explain
from .reference_point import other_reference, shift
from .rows import BPlus, LineScale, ReadingRow
from .runs import Readings, Value
from .spots import RAIL, Spot
from .volts import voltages
from .weighing import Meters, meter_remarks, meters_at, read_uncertainty, weighed

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...record.model import Record
    from ...tubes import Tube

_LEAST_SHARE_OF_B_PLUS = 0.2
"""Below this there is no B+ to speak of, and nothing is in proportion to it."""

_UNLIKE_CURRENTS = "one is AC and the other DC, so they are not compared"
_OTHER_SIGN = "of the other sign: meter leads, or a slip of the pen?"
_TIE_POINT = "a tie point: this pin leads to no electrode"
_NEGATIVE = "negative, where it is usually positive: meter leads, or a slip of the pen?"
Identity = tuple[str, str, str, str]


@dataclass(frozen=True, slots=True)
class ComparedRun:
    """One run against all sources."""

    run: Readings
    rows: tuple[ReadingRow, ...]
    scales: tuple[LineScale, ...]
    b_plus: BPlus | None
    references: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Expectation:
    value: Value
    source: Readings


@dataclass(frozen=True, slots=True)
class _Around:
    """What a row needs besides its two values. The mappings are by the identity of the source's list."""

    run: Readings
    network: Network
    parts: Sequence[ResistorInPlace]
    b_plus: BPlus | None
    scales: Mapping[int, LineScale]
    shifts: Mapping[int, float]
    volts: Mapping[int, Mapping[Place, float]]
    read: Mapping[Place, float]

    @property
    def tubes(self) -> Mapping[str, Tube]:
        return self.network.places.tubes


def compared(
    circuit: Circuit,
    run: Readings,
    sources: Sequence[Readings],
    parts: Sequence[ResistorInPlace] = (),
    *,
    words: Words = AMERICAN,
) -> ComparedRun:
    """One run beside its expected values. Each place takes the first source that has a value for it.

    A source for which the wave-change switch stood otherwise is none; an oscillator that is at rest is held to none.
    """
    network = circuit.network
    sources = [source for source in sources if not switched_otherwise(circuit, run.name, source.name)]
    resting = resting_oscillators(circuit, run.name)
    expectations: dict[Identity, _Expectation] = {}
    for source in sources:
        for identity, value in source.at().items():
            if network.point(value.spot.place) not in resting:
                expectations.setdefault(identity, _Expectation(value, source))
    read: dict[Identity, Value] = run.at()
    expectations = _for_every_place_of_a_point(expectations, read, network)
    scales = {id(source): line_scale(circuit, source, run, words) for source in sources}
    around = _Around(
        run,
        network,
        parts,
        _b_plus(read, expectations, network.places.tubes),
        scales,
        {id(s): volts for s in sources if (volts := shift(network, s, run)) is not None},
        {id(s): voltages(s, network) for s in sources},
        voltages(run, network),
    )
    rows = []
    for spot in _places(read, expectations, run, circuit.record):
        expectation, found = expectations.get(spot.identity), read.get(spot.identity)
        if expectation is None and found is None and spot.kind in ("heater", "tie"):
            continue
        rows.append(_row(spot, expectation, found, around, words))
    other = tuple(s.of or s.name for s in sources if other_reference(network, s, run) and id(s) not in around.shifts)
    return ComparedRun(run, tuple(_with_unlike(rows)), tuple(scales.values()), around.b_plus, other)


def _for_every_place_of_a_point(
    expectations: Mapping[Identity, _Expectation], read: Mapping[Identity, Value], network: Network
) -> dict[Identity, _Expectation]:
    """What is expected at one place of a point is expected at all: nobody types a rail and the cathode it is joined to.

    A place that was not read itself is no gap where its point was read at another.
    """
    held = dict(expectations)
    for identity, value in read.items():
        spot = value.spot
        if identity in expectations or spot.current != "DC" or spot.pin:
            continue
        for other, expectation in expectations.items():
            there = expectation.value.spot
            if there.current == "DC" and not there.pin and network.same(there.place, spot.place):
                held[identity] = expectation
                if other not in read:
                    held.pop(other, None)
                break
    return held


def _places(
    read: Mapping[Identity, Value],
    expectations: Mapping[Identity, _Expectation],
    run: Readings,
    record: Record,
) -> list[Spot]:
    """All places of a run: tubes in the record's order, each in the order of looking; then rails and windings.

    A place that was marked as not read without saying of which current is the one that is expected there.
    """
    spots = {value.spot.identity: value.spot for value in read.values()}
    for identity, expectation in expectations.items():
        spots.setdefault(identity, expectation.value.spot)
    taken = {(tube, key, pin) for tube, key, pin, _ in spots}
    for spot in run.asked:
        if spot.identity[:3] not in taken:
            spots.setdefault(spot.identity, spot)
    order = {str(position): n for n, position in enumerate(record.tubes)}
    return sorted(spots.values(), key=lambda s: (order.get(s.tube, len(order)), s.kind == RAIL, *s.look))


def line_scale(circuit: Circuit, source: Readings, run: Readings, words: Words) -> LineScale:
    """The factor from a source's line to a run's: measured line over published line."""
    at_source, at_run = source.conditions, run.conditions
    factor, missing = None, ""
    if not circuit.mains.from_line:
        missing = "the set plays from a battery, whose volts its own do not follow in proportion"
    elif at_source.line_volts is None or at_run.line_volts is None:
        missing = f"the {words.line} is not known for " + (
            "either list" if at_source.line_volts is at_run.line_volts else "one list"
        )
    else:
        lines = (at_source.line_volts, at_source.selector_volts, at_run.line_volts, at_run.selector_volts)
        nominal = circuit.mains.volts.nominal if circuit.mains.volts else None
        factor = round(line_factor(*lines, nominal) * share_at_primary(circuit, run.name), 4)
    return LineScale(
        source.of or source.name,
        at_source.line_volts,
        at_source.line_from,
        at_run.line_volts,
        at_run.line_from,
        factor,
        missing,
        at_source.selector_volts,
        at_run.selector_volts,
        round(share_at_primary(circuit, run.name), 3),
    )


def _row(
    spot: Spot, expectation: _Expectation | None, value: Value | None, around: _Around, words: Words
) -> ReadingRow:
    run = around.run.with_meter_of(value)
    measured = value.quantity if value else None
    volts, range_volts = single(measured), run.conditions.meter_range_volts
    beside = own_cathode(spot, around.read, around.network)
    base = ReadingRow(
        run.name,
        spot.tube,
        spot.electrode,
        None,
        None,
        _number(value),
        None,
        None,
        verdict(spot, None, None, measured, range_volts, beside=beside),
        current=spot.current,
        pin=spot.pin,
        measured_written=measured.written.strip() if measured else "",
        measured_qualifier=measured.qualifier if measured else None,
        remarks=(*_of_the_place(spot, value), *(beside.remark(volts) if beside else ())),
        spot=spot,
        uncertainty_volts=read_uncertainty(spot, volts, run),
    )
    if expectation is None:
        odd = volts is not None and volts < 0 and spot.kind in ("plate", "screen") and spot.current == "DC"
        return replace(base, remarks=(*base.remarks, _NEGATIVE)) if odd else base
    expected, source = expectation.value.quantity, expectation.source
    centre = middle(expected)
    scaled_by = around.scales[id(source)].factor if _follows_line(spot, around.tubes) else None
    moved = around.shifts.get(id(source)) if spot.current == "DC" else None
    plain = Adjusted(scaled_by or 1.0, scaled_by or 1.0, scaled_by or 1.0, moved or 0.0)
    printed = source.with_meter_of(expectation.value)
    behind = source_at(spot, printed, around.volts[id(source)], around.parts, around.network, words)
    meters = meters_at(spot, expected, measured, behind, printed, run)
    told = weighed(spot, expected, measured, plain, meters, source, range_volts, beside)
    band = allowed(spot, expected, plain, source.tolerance)
    unloaded = verdict(spot, expected, band, measured, range_volts, beside=beside)
    row = replace(
        base,
        expected_volts=centre,
        adjusted_volts=told.volts,
        deviation=told.deviation,
        tolerance=_tolerance(told.band, told.volts, source),
        verdict=told.verdict,
        expected_written=expected.written.strip(),
        expected_qualifier=expected.qualifier,
        scaled_by=scaled_by,
        shifted_by=moved,
        loading=meters.loaded,
        without_loading=unloaded if meters.loaded else None,
        loading_unknown=meters.unknown,
        expected_uncertainty_volts=meters.expected_unsure,
        allowed_by=told.band.by,
        allowed_volts=(told.band.bounds.low, told.band.bounds.high),
        source=source.name,
        source_kind=source.kind,
        source_of=source.of,
        remarks=(*base.remarks, *_remarks(spot, expectation, volts, told.volts), *meter_remarks(meters, told.verdict)),
    )
    return _normalised(may_explain(row, behind, printed, run), expectation, value, plain, meters, around)


def _of_the_place(spot: Spot, value: Value | None) -> tuple[str, ...]:
    told = (value.remark,) if value and value.remark else ()
    return (*told, _TIE_POINT) if value and spot.kind == "tie" else told


def _normalised(
    row: ReadingRow,
    expectation: _Expectation,
    value: Value | None,
    plain: Adjusted,
    meters: Meters,
    around: _Around,
) -> ReadingRow:
    """The row with what is expected in proportion to the set's own B+ instead of its line."""
    spot, b_plus, source = row.spot, around.b_plus, expectation.source
    if b_plus is None or b_plus.is_at(spot) or not spot.follows_b_plus or not _follows_line(spot, around.tubes):
        return row
    if row.expected_volts is None or row.adjusted_volts is None:
        return row
    beside = plain.times(b_plus.ratio / (row.scaled_by or 1.0))
    range_volts = around.run.with_meter_of(value).conditions.meter_range_volts
    measured = value.quantity if value else None
    told = weighed(spot, expectation.value.quantity, measured, beside, meters, source, range_volts)
    return replace(
        row,
        normalised_volts=told.volts,
        normalised_deviation=told.deviation,
        normalised_verdict=told.verdict if measured else None,
    )


def _number(value: Value | None) -> float | None:
    """A reading's number, also of one that is only a bound; its qualifier stands beside it."""
    return value.quantity.si if value else None


def _follows_line(spot: Spot, tubes: Mapping[str, Tube]) -> bool:
    tube = tubes.get(spot.tube)
    return spot.follows_line and "regulator" not in ((tube.role or "") if tube else "")


def _tolerance(band: Allowed, adjusted: float | None, source: Readings) -> float:
    if band.by == "stated" and source.tolerance is None and adjusted:
        return (band.bounds.high - band.bounds.low) / 2 / abs(adjusted)
    return tolerance_or_usual(source.tolerance)


def _remarks(spot: Spot, expectation: _Expectation, volts: float | None, adjusted: float | None) -> tuple[str, ...]:
    remarks = [expectation.value.remark] if expectation.value.remark else []
    if volts and adjusted and volts * adjusted < 0 and not spot.is_control_grid:
        remarks.append(_OTHER_SIGN)
    if other := expectation.source.other_types.get(spot.tube):
        remarks.append(f"a {other} stands there in {expectation.source.of.partition(',')[0]}")
    return tuple(remarks)


def _with_unlike(rows: Iterable[ReadingRow]) -> list[ReadingRow]:
    """Rows of which one has AC and the other DC at one place say so."""
    rows = list(rows)
    unread = {(r.tube, r.spot.key, r.pin) for r in rows if r.verdict == NOT_READ and r.expected_written}
    lone = {(r.tube, r.spot.key, r.pin) for r in rows if r.verdict == NOT_EXPECTED}
    return [
        replace(r, remarks=(*r.remarks, _UNLIKE_CURRENTS)) if (r.tube, r.spot.key, r.pin) in unread & lone else r
        for r in rows
    ]


def _b_plus(
    read: Mapping[Identity, Value],
    expectations: Mapping[Identity, _Expectation],
    tubes: Mapping[str, Tube],
) -> BPlus | None:
    """The rectifier's cathode, or the first rail, where it is both expected and read."""
    both = [(read[i], expectations[i]) for i in read if i in expectations]
    both = [pair for pair in both if _is_b_plus(pair[0].spot, tubes)]
    for value, expectation in sorted(both, key=lambda pair: _b_plus_rank(pair[0].spot)):
        measured, expected = single(value.quantity), middle(expectation.value.quantity)
        if measured and expected and expected > 0 and measured / expected >= _LEAST_SHARE_OF_B_PLUS:
            spot = value.spot
            ratio = round(measured / expected, 4)
            return BPlus(spot.tube, spot.electrode, expected, measured, ratio, expectation.source.name)
    return None


def _is_b_plus(spot: Spot, tubes: Mapping[str, Tube]) -> bool:
    if spot.current != "DC":
        return False
    if spot.kind == RAIL:
        return spot.place.key in FIRST_RAILS
    tube = tubes.get(spot.tube)
    role = (tube.role or "") if tube else ""
    return spot.kind == "cathode" and "rectifier" in role and ("output" not in role or spot.key.startswith("kr"))


def _b_plus_rank(spot: Spot) -> int:
    return FIRST_RAILS.index(spot.place.key) if spot.kind == RAIL else -1
