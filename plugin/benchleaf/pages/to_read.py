"""The voltages that a bench sheet asks for: where, at which pin, what is printed there and what to expect."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.units import say
from ..report.amount import unitless

if TYPE_CHECKING:
    from ..chapters.examine import Examined
    from ..chapters.readings.at_the_bench import AtTheBench
    from ..chapters.readings.findings import ReadingsFindings
    from ..chapters.readings.rows import ReadingRow
    from ..chapters.readings.runs import Conditions
    from ..chapters.readings.worked_out import FromTheCircuit
    from ..circuit.places import Place
    from ..tubes import Tube
    from ..words import Words

_TELLING = ("k", "g1", "g", "g2", "a")
"""Electrodes to read where no sheet says which. Common practice, no source."""
_LEAST_FOR_TWO_COLUMNS = 9
_HOW_OFTEN = "on printed tables of audio amplifiers about nine in ten lay between such ends."


@dataclass(frozen=True, slots=True)
class SheetReading:
    """A voltage to read, at the pins and electrode of ``at``.

    ``printed`` is as the sheet has it, ``expected`` what follows here, ``last`` what was read last; ``worked_out`` are
    the ends of what the set's own circuit gives.
    """

    place: str
    at: str
    printed: str = ""
    expected: str = ""
    worked_out: str = ""
    last: str = ""


@dataclass(frozen=True, slots=True)
class ToRead:
    """All voltages of a bench sheet, in the columns they are printed in, and what stands above them.

    ``heads`` are the headings of the columns of values that there are.
    """

    columns: tuple[tuple[SheetReading, ...], ...]
    notes: tuple[str, ...]
    heads: tuple[str, ...]

    @property
    def both(self) -> bool:
        """Whether what is worked out stands below what the sheet leads to expect."""
        return any(line.expected and line.worked_out for lines in self.columns for line in lines)


def to_read(examined: Examined) -> ToRead | None:
    """The voltages of the sheet, or of each tube's telling electrodes where there is none; None without a tube."""
    findings: ReadingsFindings | None = examined.findings["readings"]
    if findings is not None and findings.at_the_bench is not None:
        at = findings.at_the_bench
        lines = [_line(row, findings, examined) for row in at.rows if row.expected_written]
        return ToRead(_columns(lines), notes(examined), ("Printed", "Expected"))
    lines = list(_without_sheet(examined, findings))
    if not lines:
        return None
    last = findings.latest.name if findings and findings.latest else ""
    given = any(line.worked_out for line in lines)
    heads = (*(("Worked out",) if given else ()), *(("Last",) if last else ()))
    return ToRead(_columns(lines), (*notes(examined), *((f"Last read: {last}.",) if last else ())), heads)


def notes(examined: Examined) -> tuple[str, ...]:
    """Where the values come from that are expected at the bench, and for which line and meter they hold."""
    findings: ReadingsFindings | None = examined.findings["readings"]
    words = examined.bench.words
    if findings is not None and findings.at_the_bench is not None:
        return tuple(_notes(findings, findings.at_the_bench, words))
    circuit = findings.circuit if findings else None
    if circuit is not None and circuit.places:
        return (_worked_out(circuit, words),)
    return ("No sheet is in the record, so that no values are expected here.",)


def _worked_out(circuit: FromTheCircuit, words: Words) -> str:
    """Where the values of a sheet without printed ones come from."""
    said = _conditions(circuit.conditions, words)
    return f"No sheet is in the record. Worked out: from the set’s own parts, {said}; {_HOW_OFTEN}"


def _line(row: ReadingRow, findings: ReadingsFindings, examined: Examined) -> SheetReading:
    from ..chapters.readings.pins import pins_of

    known = row.expected_volts is not None
    current = "" if row.current == "DC" else f" {row.current}"
    said = "" if row.electrode == "rail" else row.spot.said
    pins = pins_of(row.spot, examined.bench.tubes).removeprefix("pins ").removeprefix("pin ")
    at = ", ".join(word for word in (pins, said) if word) or "rail"
    printed = unitless(row.expected_volts, "V") if known else row.expected_written
    expected = unitless(row.adjusted_volts, "V") if known else ""
    worked_out = _by_circuit(findings, row.spot.place if row.current == "DC" else None)
    return SheetReading(row.tube, at, printed + current, expected, worked_out)


def _notes(findings: ReadingsFindings, at: AtTheBench, words: Words) -> Iterator[str]:
    for source in findings.sources:
        yield f"Printed ({source.of or source.name}): {_conditions(source.conditions, words)}."
    like = f", as in {at.like}" if at.like else ""
    meter = "" if at.conditions.input_ohms or at.conditions.meter_ohms_per_volt else ", the meter as printed"
    yield f"Expected: {_conditions(at.conditions, words)}{like}{meter}."
    if at.line_matters:
        volts = say(at.conditions.line_volts, "V")
        yield f"At another {words.line}: times its volts ÷ {volts}, but for grids, diodes and regulated rails."
    if findings.circuit is not None and findings.circuit.places:
        same = findings.circuit.conditions == at.conditions
        said = "" if same else f", {_conditions(findings.circuit.conditions, words)}"
        yield f"Worked out: from the set’s own parts{said}; {_HOW_OFTEN}"
        if apart := findings.circuit.against_sheet:
            places = ", ".join(one.at.name(words) for one in apart)
            yield f"Sheet and set disagree at {places}: a part, a {words.tube} or the sheet is another one there."


def _conditions(said: Conditions, words: Words) -> str:
    """The line, the point and the meter of a list, as far as they are written."""
    line = f"{words.line} {say(said.line_volts, 'V')}" if said.line_volts is not None else f"{words.line} not written"
    usual = f", usual for {said.meter_usual}" if said.meter_usual else ""
    meter = f"meter {say(said.meter_ohms, 'ohm')}{usual}" if said.meter_ohms is not None else ""
    if said.meter_ohms_per_volt is not None:
        scale = f" on {say(said.meter_range_volts, 'V')}" if said.meter_range_volts is not None else ""
        meter = f"meter {say(said.meter_ohms_per_volt, 'ohm')} per volt{scale}"
    controls = f"controls: {said.controls}" if said.controls else ""
    return ", ".join(each for each in (line, f"to {said.reference}", meter, controls) if each)


def _without_sheet(examined: Examined, findings: ReadingsFindings | None) -> Iterator[SheetReading]:
    """Each tube at its telling electrodes, with what was read there last; then the rails that were read."""
    groups = findings.together if findings else ()
    for place, tube in examined.bench.tubes.items():
        read = [at for group in groups if group.tube == place for at in group.places if at.read]
        for pin, key, said in _telling(tube, examined.bench.words):
            here = next((at for at in read if set(at.spot.key.split("+")) & set(key.split("+"))), None)
            electrode = next(iter(examined.bench.circuit.places.at_tube(place, key)), None)
            last = _last(here.read[-1]) if here else ""
            yield SheetReading(place, f"{pin}, {said}", worked_out=_by_circuit(findings, electrode), last=last)
    for group in groups:
        for at in group.places if not group.tube else ():
            last = _last(at.read[-1]) if at.read else ""
            yield SheetReading(at.spot.tube, "rail", worked_out=_by_circuit(findings, at.spot.place), last=last)


def _by_circuit(findings: ReadingsFindings | None, place: Place | None) -> str:
    """What the set's own circuit makes of a place: the ends of its range."""
    one = findings.circuit.at(place) if findings and findings.circuit and place else None
    return f"{unitless(one.low_volts, 'V')} to {unitless(one.high_volts, 'V')}" if one else ""


def _last(row: ReadingRow) -> str:
    said = row.measured_written if row.as_typed else unitless(row.measured_volts, "V")
    return said if row.current == "DC" else f"{said} {row.current}"


def _telling(tube: Tube, words: Words) -> Iterator[tuple[str, str, str]]:
    from ..tubes import say_electrode
    from ..tubes.build_tube import parts_of

    telling = {key: row for row in tube.pin_rows for key in parts_of(row.electrode) if key in _TELLING}
    for key in sorted(telling, key=_TELLING.index):
        row = telling[key]
        yield str(row.pin), row.electrode, say_electrode(row.electrode, tube.role, words, direct=tube.heater.direct)


def _columns(lines: Iterable[SheetReading]) -> tuple[tuple[SheetReading, ...], ...]:
    """The lines in one column, or in two that part between two places, as near to the middle as may be."""
    lines = tuple(lines)
    if len(lines) < _LEAST_FOR_TWO_COLUMNS:
        return (lines,)
    breaks = [n for n in range(1, len(lines)) if lines[n].place != lines[n - 1].place]
    middle = min(breaks or [len(lines) // 2], key=lambda n: abs(n - len(lines) / 2))
    return lines[:middle], lines[middle:]
