"""The lists of readings as written, told apart into expectations and measurements, with their conditions."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from ...circuit.in_place import When, when_read
from ...circuit.line_scaling import SelectedAt, selected_at
from ...circuit.primary_resistor import PrimaryDrop, primary_drop
from ...electrics.loading import meter_ohms
from ...record.quantities import Quantity
from ...record.sections.reading_lists import PUBLISHED_NAME, day_of, is_published, is_without_line
from ...record.sections.usual_meters import usual_meter
from ...tubes import Tube
from ...words import Words
from .spots import Spot, spots

if TYPE_CHECKING:
    from ...circuit.circuit import Circuit
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...record.model import Record
    from ...record.sections.meter import Meter
    from ...record.sections.readings import Run
    from ..bench import Bench

PUBLISHED, SIMILAR, MEASURED = "published", "similar", "measured"
_METER_FIELDS = (
    "meter_ohms_per_volt", "meter_range_volts", "meter_ohms", "meter_error", "meter_error_of_range",
)  # fmt: skip
_TWO_PINS_AGREE_VOLTS = 0.1
_TWO_PINS_AGREE_RATIO = 0.05


_USUAL_RANGES = (10.0, 50.0, 250.0, 500.0, 1000.0)
"""Ranges of volts that most meters with a pointer have. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Conditions:
    """What a list of readings was taken under.

    ``line_volts`` is the line it holds for; ``line_from`` says where that stands: ``the list``, ``the record`` (its
    nominal line), or nowhere. ``reference`` is the point everything was read against, ``reference_from`` likewise
    (``the list`` or ``assumed``). ``selector_volts`` is where the mains selector of a transformer stood;
    ``selector_from`` says whether ``the list`` names it or it is where it stands now (``the record``).
    ``meter_usual`` names the meter whose usual ohms were taken for those that nobody wrote, ``meter_source`` whence.
    ``before_primary`` is what a resistor in series with the transformer leaves of the line; ``ranges_beside`` says that
    readings have the range they were taken on beside them.
    """

    line_volts: float | None
    line_from: str
    meter_ohms_per_volt: float | None = None
    meter_range_volts: float | None = None
    meter_ohms: float | None = None
    reference: str = ""
    reference_from: str = "assumed"
    controls: str = ""
    after: str = ""
    note: str = ""
    meter_error: float | None = None
    meter_error_of_range: float | None = None
    selector_volts: float | None = None
    selector_from: str = ""
    before_primary: PrimaryDrop | None = None
    ranges_beside: bool = field(default=False, metadata={"json": False})
    meter_usual: str = field(default="", metadata={"json": False})
    meter_source: str = field(default="", metadata={"json": False})

    def uncertainty(self, volts: float) -> float | None:
        """How far a reading of ``volts`` may be off by the meter, in volts; None where its error is not known.

        An error of the range needs the range. Both together add, as a meter's sheet means them.
        """
        of_range = None
        if self.meter_error_of_range is not None and self.meter_range_volts:
            of_range = self.meter_error_of_range * self.meter_range_volts
        if self.meter_error is None and of_range is None:
            return None
        return (self.meter_error or 0.0) * abs(volts) + (of_range or 0.0)

    @property
    def input_ohms(self) -> float | None:
        """What the meter loads the circuit with, in ohms; None without its resistance, or its sensitivity and range."""
        if self.meter_ohms:
            return self.meter_ohms
        if self.meter_ohms_per_volt and self.meter_range_volts:
            return meter_ohms(self.meter_ohms_per_volt, self.meter_range_volts)
        return None

    def ohms_at(self, volts: float) -> float | None:
        """What the meter loads a place with that reads ``volts``, in ohms: on its range, or a usual one that holds it.

        None where nothing is written of it.
        """
        range_volts = self.meter_range_volts
        if self.meter_ohms or not self.meter_ohms_per_volt or (range_volts and abs(volts) <= range_volts):
            return self.input_ohms
        holding = next((one for one in _USUAL_RANGES if abs(volts) <= one), _USUAL_RANGES[-1])
        return meter_ohms(self.meter_ohms_per_volt, holding)


@dataclass(frozen=True, slots=True)
class Value:
    """One reading at one place, with a remark where two pins of one electrode were read.

    ``conditions`` are its own where another meter, or another range, is written beside it than the list has.
    """

    spot: Spot
    quantity: Quantity
    remark: str = ""
    conditions: Conditions | None = None


@dataclass(frozen=True, slots=True)
class Readings:
    """One list of readings, each at its place.

    ``kind`` is ``published``, ``similar`` (of a similar chassis) or ``measured``; ``of`` names the similar chassis and
    its list. ``asked`` are all places written, also those marked as not read. ``tolerance`` is a ratio, None where the
    list states none. ``when`` is when it was taken, as ``in_place`` has it.
    """

    name: str
    kind: str
    conditions: Conditions
    values: tuple[Value, ...]
    asked: tuple[Spot, ...]
    of: str = ""
    date: datetime.date | None = None
    when: When = None
    tolerance: float | None = None
    other_types: Mapping[str, str] = field(default_factory=dict)

    def with_meter_of(self, value: Value | None) -> Readings:
        """The list as it is for one of its readings: with the meter that is written beside it."""
        own = value.conditions if value else None
        return replace(self, conditions=own) if own else self

    def conditions_at(self, at: Place, network: Network) -> Conditions:
        """What holds at a point: those of a reading there that names its own meter, else the list's."""
        own = (value for value in self.values if value.conditions and network.point(value.spot.place) == at)
        return next((value.conditions for value in own if value.conditions), self.conditions)

    def at(self) -> dict[tuple[str, str, str, str], Value]:
        """The values by place."""
        return {value.spot.identity: value for value in self.values}


def told_apart(bench: Bench) -> tuple[list[Readings], list[Readings]]:
    """What is expected, best source first, and what was measured, by date where all have one, else as written.

    A list named ``sheet`` or ``published`` is an expectation, and so is one taken ``from`` a similar chassis: published
    values go before those of another set.
    """
    record = bench.record
    expected: list[Readings] = []
    measured: list[Readings] = []
    for name, run in record.readings.items():
        if run.from_:
            expected += _similar(str(name), run, bench)
        elif is_published(name, run):
            expected.append(_read(str(name), run, PUBLISHED, bench.circuit, bench))
        elif run.points or not run.resistance:
            measured.append(_read(str(name), run, MEASURED, bench.circuit, bench))
    if all(readings.date for readings in measured):
        measured.sort(key=lambda readings: readings.date or datetime.date.min)
    return sorted(expected, key=lambda readings: readings.kind != PUBLISHED), measured


def _similar(name: str, run: Run, bench: Bench) -> Iterator[Readings]:
    """What was typed under a list that comes from a similar chassis, then what that chassis' own record says."""
    folder, _, wanted = (part.strip() for part in str(run.from_).partition(","))
    if run.points:
        yield _read(name, run, SIMILAR, bench.circuit, bench, of=folder)
    neighbour = bench.neighbours.get(folder)
    if neighbour is None:
        return
    for other_name, other in _in_order_of_worth(neighbour.record, wanted):
        read = _read(other_name, other, SIMILAR, neighbour, bench, of=f"{folder}, {other_name}")
        yield _fitting(read, name, neighbour.tubes, bench)


def _in_order_of_worth(neighbour: Record, wanted: str) -> list[tuple[str, Run]]:
    """The list asked for; otherwise the published ones and after them the latest that was measured there."""
    own = [(str(n), r) for n, r in neighbour.readings.items() if not r.from_]
    named = [entry for entry in own if entry[0].casefold() == wanted.casefold()]
    if named:
        return named
    published = [entry for entry in own if PUBLISHED_NAME.search(entry[0])]
    return [*published, *[entry for entry in own if entry not in published][-1:]]


def _fitting(read: Readings, name: str, theirs: Mapping[str, Tube], bench: Bench) -> Readings:
    """The part of a similar chassis' readings that this set has a place for: same position, tube of the same kind."""
    other_types: dict[str, str] = {}
    kept = []
    for value in read.values:
        position, here = value.spot.tube, bench.tubes.get(value.spot.tube)
        there = theirs.get(position)
        if here and there and here.type != there.type:
            other_types[position] = there.type
            if here.role != there.role:
                continue
        kept.append(value)
    return Readings(
        name, SIMILAR, read.conditions, tuple(kept), (), read.of, read.date, read.when, read.tolerance, other_types
    )  # fmt: skip


def _read(name: str, run: Run, kind: str, circuit: Circuit, bench: Bench, of: str = "") -> Readings:
    asked: dict[Spot, None] = {}
    found: dict[tuple[str, str, str, str], Value] = {}
    conditions = _conditions(name, run, circuit, bench.words, published=kind == PUBLISHED)
    for name_of, points in run.points.items():
        for point in points:
            for spot in spots(circuit.places, str(name_of), str(point.at), point.value, bench.words):
                asked.setdefault(spot)
                if point.value is None:
                    continue
                value = Value(spot, point.value, conditions=_by_own_meter(conditions, point.meter))
                earlier = found.get(spot.identity)
                found[spot.identity] = _of_two(earlier, value) if earlier else value
    tolerance = run.tolerance.si if run.tolerance else None
    return Readings(
        name,
        kind,
        conditions,
        tuple(found.values()),
        tuple(asked),
        of,
        day_of(name, run),
        when_read(name, run),
        tolerance,
    )


def _of_two(first: Value, second: Value) -> Value:
    """One electrode read twice, as on two pins: the larger reading counts, and a difference is said."""
    a, b = first.quantity, second.quantity
    larger = max((first, second), key=lambda value: abs(value.quantity.si or 0))
    if a.si is None or b.si is None:
        return larger
    if abs(a.si - b.si) <= max(_TWO_PINS_AGREE_VOLTS, _TWO_PINS_AGREE_RATIO * abs(a.si)):
        return larger
    remark = f"written twice and not alike: {a.written.strip()} and {b.written.strip()}; the larger one is used"
    return replace(larger, remark=remark)


def _by_own_meter(conditions: Conditions, meter: Meter | None) -> Conditions | None:
    """What holds for a reading with a meter beside it: another one, or another range of the list's; None without."""
    if meter is None:
        return None
    if meter.range_alone:
        return replace(conditions, meter_range_volts=_above_zero(meter.range_))
    return replace(conditions, **_of_meter(meter))


def _of_meter(meter: Meter | None) -> dict[str, Any]:
    """The fields of ``Conditions`` that say of the meter; none of them where nothing is written of it."""
    if meter is None:
        return dict.fromkeys(_METER_FIELDS)
    errors = (abs(one.si) if one and one.si else None for one in (meter.error, meter.error_of_range))
    sizes = (_above_zero(one) for one in (meter.ohms_per_volt, meter.range_, meter.ohms))
    return dict(zip(_METER_FIELDS, (*sizes, *errors), strict=True))


def _of_usual_meter(meter: Meter | None) -> dict[str, Any]:
    """The same of the meter of a whole list: one that is named by its kind alone has the input usual for that."""
    fields = _of_meter(meter)
    usual = usual_meter(meter.note) if meter and meter.note and not (meter.ohms or meter.ohms_per_volt) else None
    size = "meter_ohms_per_volt" if usual and usual.per_volt else "meter_ohms"
    return fields | ({"meter_usual": usual.called, size: usual.ohms, "meter_source": usual.source} if usual else {})


def _conditions(name: str, run: Run, circuit: Circuit, words: Words, *, published: bool) -> Conditions:
    setting, setting_from = selector_told(selected_at(circuit, name, published=published))
    line, line_from = (None, "") if is_without_line(name, run) else _line(run, circuit)
    currents = (f"{name} {amps.written}" for name, amps in run.currents.items())
    return Conditions(
        line,
        line_from,
        reference=circuit.places.read(run.to).name(words) if run.to else words.of_key(circuit.grounding.reference),
        reference_from="the list" if run.to else "assumed",
        controls=str(run.controls or ""),
        after=str(run.after or ""),
        note=", ".join(filter(None, [str(run.note or ""), *currents])),
        selector_volts=setting,
        selector_from=setting_from,
        before_primary=primary_drop(circuit, name, line) if not published else None,
        ranges_beside=any(one.meter and one.meter.range_alone for of in run.points.values() for one in of),
        **_of_usual_meter(run.meter),
    )


def selector_told(selected: SelectedAt | None) -> tuple[float | None, str]:
    """A setting as the last two fields of ``Conditions`` have it."""
    return (selected.volts, "the list" if selected.of_list else "the record") if selected else (None, "")


def _above_zero(value: Quantity | None) -> float | None:
    """A value in SI that a meter can have; one that it cannot is told by the rules, and nothing rests on it."""
    return value.si if value and value.si is not None and value.si > 0 else None


def _line(run: Run, circuit: Circuit) -> tuple[float | None, str]:
    if run.line and run.line.si and run.line.si > 0:
        return run.line.si, "the list"
    volts = circuit.mains.volts
    return (volts.nominal, "the record") if volts else (None, "")
