"""What is written of readings and cannot be so, each a Problem at its place. An odd sign is a question on the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.problems import a_type, quoted
from ...record.quantities import Quantity
from ...record.saved_table import SpreadsheetCell
from ...record.sections.reading_lists import is_published
from ...record.text import line_column_of

if TYPE_CHECKING:
    from ...record.model import Record
    from ...record.sections.readings import Reading, Run
    from ...record.slips import Found, Slips
    from ...tubes import Tube

MOST_VOLTS = 2_000.0
"""More than any electrode of a receiver has. Common practice, no source."""

MOST_VOLTS_OF_A_DIODE = 100.0
"""More than a detector's diode ever stands at. Common practice, no source."""
_DIODE = re.compile(r"d\d?")
_THOUSAND = (700.0, 1_400.0)
_LEAST_EXPECTED = 0.2


def look_over(record: Record, slips: Slips) -> None:
    """Tell every contradiction in the record's readings."""
    expected = _expected(record)
    for name, run in record.readings.items():
        for at, where, what, wanted, remedy in _of_run(str(name), run, record, expected):
            slips.add(at if line_column_of(at) else name, f"readings.{name}{where}", what, wanted, remedy)


def _of_run(name: str, run: Run, record: Record, expected: dict[tuple[str, str], float]) -> Iterator[Found]:
    for position, points in run.points.items():
        tube = _tube(str(position), record)
        for point in points:
            where = f".{position}"
            yield from _pin(tube, point, where)
            if point.value is not None:
                at = (str(position).casefold(), str(point.at).casefold())
                yield from _diode(tube, point, where)
                usual = None if is_published(name, run) else expected.get(at)
                of_a_table = isinstance(point.at, SpreadsheetCell)  # which knows its file; its value does not
                yield from _size(point.value, point.at if of_a_table else point.value, where, usual)
    for position, points in run.resistance.items():
        where = f".resistance.{position}"
        if position not in record.tubes and any(point.at for point in points):
            yield (
                position,
                where,
                quoted(position),
                "a position listed under tubes, or a rail with one value",
                "",
            )
        for point in points:
            yield from _pin(_tube(str(position), record), point, where)
            yield from _electrode(_tube(str(position), record), point, where)
    yield from _conditions(run)


def _tube(position: str, record: Record) -> Tube | None:
    fitted = next((tube for name, tube in record.tubes.items() if name == position), None)
    return record.tube_table.find(str(fitted.type)) if fitted and not fitted.heater else None


def _diode(tube: Tube | None, point: Reading, where: str) -> Iterator[Found]:
    """A signal diode far above what feeds it: its pin was taken for another's, and it is asked which."""
    from ...tubes import Electrode, by_pin, electrode, say_electrode

    volts = point.value.si if point.value else None
    if tube is None or not volts or volts <= MOST_VOLTS_OF_A_DIODE or (point.value and point.value.mark):
        return
    at = str(point.at)
    meant = by_pin(tube, int(at)) if at.isdecimal() else electrode(tube, at)
    if not isinstance(meant, Electrode) or not _DIODE.fullmatch(meant.key):
        return
    said = say_electrode(meant.key, tube.role, direct=tube.heater.direct)
    plate = electrode(tube, "plate")
    pins = " and ".join(map(str, plate.pins)) if isinstance(plate, Electrode) else ""
    of_plate = f"; {a_type(tube.type)} has its plate on pin {pins}" if pins else ""
    found = f"{volts:g} V at {quoted(at)}, which is the {said} of {a_type(tube.type)}"
    yield (
        point.at,
        where,
        found,
        "a diode near zero or below",
        f"write the electrode or the pin that was read{of_plate}",
    )


def _pin(tube: Tube | None, point: Reading, where: str) -> Iterator[Found]:
    """A reading that names both, where the tube's base has another electrode on that pin."""
    from ...tubes import Electrode, by_pin, electrode, say_electrode

    if tube is None or not point.pin or not tube.pin_rows:
        return
    meant, on_pin = electrode(tube, str(point.at)), by_pin(tube, int(point.pin))
    if on_pin is None:
        yield point.pin, where, f"pin {point.pin}", f"pins of a {tube.type}", ""
    elif isinstance(meant, Electrode) and int(point.pin) not in meant.pins:
        said = say_electrode(on_pin.key, tube.role, direct=tube.heater.direct)
        pins = " and ".join(map(str, meant.pins)) or "another pin"
        what = f"{quoted(point.at)} on pin {point.pin}, where a {tube.type} has its {said}"
        yield (
            point.at,
            where,
            what,
            f"{quoted(point.at)} on {pins}, or {quoted(said)}",
            "write only one of the two",
        )


def _electrode(tube: Tube | None, point: Reading, where: str) -> Iterator[Found]:
    from ...tubes import ElectrodeQuestion, electrode

    if tube is None or not point.at or point.at.isdigit():
        return
    found = electrode(tube, str(point.at))
    if isinstance(found, ElectrodeQuestion):
        remedy = f"did you mean {quoted(found.nearest[0])}?" if found.nearest else ""
        yield point.at, where, quoted(point.at), f"an electrode of {a_type(tube.type)}", remedy


def _size(value: Quantity, at: object, where: str, usual: float | None) -> Iterator[Found]:
    """A number a thousand times the expected one, or more than a receiver has: millivolts written as volts."""
    volts = abs(value.si) if value.si is not None else 0.0
    if usual is not None and usual >= _LEAST_EXPECTED and _THOUSAND[0] <= volts / usual <= _THOUSAND[1]:
        expected = f"volts, near {usual:g} as the sheet has it"
        yield (
            at,
            where,
            quoted(value.written),
            expected,
            "a reading in millivolts is written with its unit, “mV”",
        )
    elif volts > MOST_VOLTS:
        expected = f"at most {MOST_VOLTS:,.0f} V in a receiver"
        yield (
            at,
            where,
            quoted(value.written),
            expected,
            "a reading in millivolts is written with its unit, “mV”",
        )
    elif usual and "mV" in value.written and 1 / _THOUSAND[1] <= volts / usual <= 1 / _THOUSAND[0]:
        expected = f"volts, near {usual:g} as the sheet has it"
        yield at, where, quoted(value.written), expected, "check the unit: a thousandth of the sheet’s volts"


def _conditions(run: Run) -> Iterator[Found]:
    meter = run.meter
    for key, value in (("meter.ohms per volt", meter and meter.ohms_per_volt), ("meter.ohms", meter and meter.ohms)):
        if value and value.si is not None and value.si <= 0:
            yield value, f".{key}", quoted(value.written), "a resistance above zero", ""
    if meter and meter.range_ and meter.range_.si is not None and meter.range_.si <= 0:
        yield meter.range_, ".meter.range", quoted(meter.range_.written), "a range above zero", ""
    if run.line and run.line.si is not None and not 1 <= run.line.si <= 1_000:
        yield run.line, ".line", quoted(run.line.written), "a line of 1 to 1,000 V", ""
    if run.tolerance and run.tolerance.si is not None and not 0 < run.tolerance.si < 1:
        yield run.tolerance, ".tolerance", quoted(run.tolerance.written), "a share between 0 and 100 %", ""


def _expected(record: Record) -> dict[tuple[str, str], float]:
    """The published volts by position and electrode as written."""
    found: dict[tuple[str, str], float] = {}
    for name, run in record.readings.items():
        if is_published(str(name), run):
            for position, points in run.points.items():
                for point in points:
                    if point.value and point.value.si:
                        found.setdefault((str(position).casefold(), str(point.at).casefold()), abs(point.value.si))
    return found
