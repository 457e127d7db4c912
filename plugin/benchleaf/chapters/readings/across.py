"""The newest readings in one table: a row a tube, its electrodes across, what is expected below each reading."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...report.amount import Origin, signed_percent, unitless
from ...report.sentence import HINT, Deviation, Judged, Phrase, PhrasePart, Styled, aside
from ...report.table import Cell, Column, Row, RowGroup, Table
from ...report.verdict import Verdict
from .judging import HIGH, LOW, NOT_EXPECTED, NOT_READ, OUTSIDE, POSITIVE_GRID, WITHIN

if TYPE_CHECKING:
    from ..bench import Bench
    from .findings import ReadingsFindings
    from .rows import ReadingRow
    from .together import AtTube, Together
    from .worked_out import FromTheCircuit, WorkedOut

MOST_TUBES = 12
KIND = "bl-across"
_COLUMNS = {
    "cathode": "cathode",
    "grid": "grid",
    "osc grid": "grid",
    "screen": "screen",
    "plate": "plate",
}
"""The column that a kind of electrode stands in; all others share one."""
_OTHERS = "other"
_SAID = {HIGH: "high", LOW: "low", POSITIVE_GRID: "positive"}


@dataclass(frozen=True, slots=True)
class _Shown:
    """What each cell says beside its readings: pins, the list where it is not the newest, that nothing is expected.

    ``circuit`` is what the set's own circuit makes of each place, where no sheet is in the record.
    """

    pins: bool
    newest: str
    published: bool
    circuit: FromTheCircuit | None = None


def across(findings: ReadingsFindings, bench: Bench, *, pins: bool) -> tuple[Table | None, int]:
    """The table, and how many tubes it leaves out: more than twelve are shown only where something is, or was, off.

    ``pins`` puts the pin beside each reading. None where no place has a reading or an expected value.
    """
    groups = [group for group in findings.together if not group.unread or not findings.runs]
    tubes = [group for group in groups if group.tube]
    shown = _most_telling(tubes)
    columns = _columns(shown)
    published = bool(findings.sources)
    newest = findings.latest.name if findings.latest else ""
    how = _Shown(pins, newest, published, None if published else findings.circuit)
    rows = [_tube(group, columns, bench, how) for group in shown]
    rows += [_rails(group, len(columns), how) for group in groups if not group.tube]
    if not rows or not columns:
        return None, 0
    words = {"plate": bench.words.plate, "screen": bench.words.screen}
    heads = [Column(bench.words.tube.capitalize()), *(Column(words.get(c, c).capitalize()) for c in columns)]
    table = Table("Voltages", _caption(findings, bench), tuple(heads), (RowGroup(tuple(rows)),), KIND)
    return table, len(tubes) - len(shown)


def _most_telling(tubes: Sequence[AtTube]) -> list[AtTube]:
    """All tubes; of more than fit those with something off first, in the order of the set."""
    off = [t for t in tubes if any(at.was_off or (at.latest and at.latest.verdict in OUTSIDE) for at in t.places)]
    rest = [tube for tube in tubes if tube not in off]
    chosen = [*off, *rest][:MOST_TUBES]
    return [tube for tube in tubes if tube in chosen]


def _columns(tubes: Sequence[AtTube]) -> list[str]:
    """The columns that anything stands in, in the order of looking."""
    there = {_column(at) for tube in tubes for at in tube.places}
    return [column for column in dict.fromkeys((*_COLUMNS.values(), _OTHERS)) if column in there]


def _column(at: Together) -> str:
    return _COLUMNS.get(at.spot.kind, _OTHERS)


def _caption(findings: ReadingsFindings, bench: Bench) -> str:
    run = findings.latest
    if run is None:
        return "Expected volts; nothing was read yet"
    said = run.conditions
    fed_by = bench.circuit.mains.fed_by(bench.words)
    line = f", {fed_by} {unitless(said.line_volts, 'V')} V" if said.line_volts is not None else ""
    meter = f", meter {unitless(said.meter_ohms, 'ohm')}" if said.meter_ohms is not None else ""
    head = f"Volts to {said.reference}, {run.name}{line}{meter}."
    if not run.compared and findings.circuit and findings.circuit.places:
        return f"{head} Below each reading: what follows from the set’s own circuit, and the range it may lie in"
    if not run.compared:
        return head
    return (
        f"{head} Below each reading: what is expected at this {fed_by} and with this meter, and how far off; "
        "the line ends at the tolerance"
    )


def _tube(group: AtTube, columns: Sequence[str], bench: Bench, how: _Shown) -> Row:
    job = next((fitted.job for position, fitted in bench.record.tubes.items() if position == group.tube), None)
    head: list[Phrase] = [(group.tube, " ", aside(group.type))]
    head += [(aside(str(job)),)] if job else []
    return Row(Cell(tuple(head)), tuple(Cell(tuple(_cell(group, column, how))) for column in columns))


def _cell(group: AtTube, column: str, how: _Shown) -> Iterator[Phrase]:
    """What was read in one column. Of several electrodes of a kind, two plates, each is named."""
    here = [at for at in group.places if _column(at) == column]
    several = len([at for at in here if at.spot.kind == column and at.latest]) > 1
    for at in here:
        yield from _reading(at, column, how, several=several)


def _rails(group: AtTube, columns: int, how: _Shown) -> Row:
    """Rails and windings side by side in the last row, each over as many columns as there is room for."""
    columns = max(columns, 1)
    places = min(len(group.places), columns)
    held: list[list[Phrase]] = [[] for _ in range(places)]
    for n, at in enumerate(group.places):
        held[n * places // len(group.places)] += _reading(at, "", how)
    spans = [columns // places + (n < columns % places) for n in range(places)]
    cells = [Cell(tuple(lines), span=span) for lines, span in zip(held, spans, strict=True)]
    return Row(Cell((("Rails",),)), tuple(cells))


def _reading(at: Together, column: str, how: _Shown, *, several: bool = False) -> list[Phrase]:
    """One place: what was read, what is expected, what was found earlier."""
    row = at.latest
    if row is None:
        return []
    name = _named(at, column, how, several=several)
    if row.verdict == NOT_READ:
        return [(*name, aside("not read")), *_expected(row, how)]
    older = [(aside(row.run),)] if row.run != how.newest else []
    return [(*name, *_read(row)), *_expected(row, how), *_found(at), *older]


def _named(at: Together, column: str, how: _Shown, *, several: bool) -> Phrase:
    """The place's name where the column's heading is not it, or not enough, and its pin."""
    spot = at.spot
    name = spot.tube if not column else "" if spot.kind == column and not several else spot.said
    said = " ".join(word for word in (name, at.pins if how.pins else "") if word)
    return (aside(said), " ") if said else ()


def _read(row: ReadingRow) -> Iterator[PhrasePart]:
    sign = "+" if row.verdict == POSITIVE_GRID and not row.measured_written.startswith("+") else ""
    said = row.measured_written if row.as_typed else f"{sign}{unitless(row.measured_volts, 'V')}"
    yield Styled((said,), Origin.MEASURED)
    if row.current != "DC":
        yield from (" ", aside(row.current))
    if row.verdict in OUTSIDE:
        grave = row.verdict == POSITIVE_GRID
        yield from (" ", Judged(Verdict.FAULT if grave else Verdict.WATCH, (_SAID[row.verdict],)))
    elif row.verdict not in (WITHIN, NOT_EXPECTED):
        yield from (" ", Judged(Verdict.UNKNOWN, (row.verdict,)))
    elif row.on_the_line:
        yield from (" ", Deviation(row.deviation or 0.0, row.tolerance or 0.0))


def _expected(row: ReadingRow, how: _Shown) -> Iterator[Phrase]:
    """What is expected, and how far off the reading is."""
    if not row.expected_written:
        if how.published:
            yield (aside("none published"),)
        elif (one := _by_circuit(row, how)) is not None:
            yield (Styled((Styled((unitless(one.volts, "V"),), Origin.COMPUTED), _range(one)), HINT),)
        return
    known = row.adjusted_volts is not None
    said = unitless(row.adjusted_volts, "V") if known else row.expected_written
    origin = Origin.COMPUTED if known and row.scaled else Origin.PUBLISHED
    off = (f" {signed_percent(row.deviation)}",) if row.deviation is not None else ()
    yield (Styled((Styled((said,), origin), *off), HINT),)


def _by_circuit(row: ReadingRow, how: _Shown) -> WorkedOut | None:
    """What the circuit makes of a place in the newest list. A grid that stands at zero is not said to while it does."""
    if how.circuit is None or row.current != "DC" or row.run != how.newest:
        return None
    one = how.circuit.at(row.spot.place)
    return None if one is not None and row.spot.is_control_grid and not one.outside else one


def _range(one: WorkedOut) -> str:
    """The range behind a worked-out value, or that it says nothing."""
    ends = f" ({unitless(one.low_volts, 'V')} to {unitless(one.high_volts, 'V')})"
    return ends if one.judged else f"{ends}, too wide to judge"


def _found(at: Together) -> Iterator[Phrase]:
    """An earlier reading that was off where this one is not."""
    row = at.was_off
    if row:
        sign = "+" if row.verdict == POSITIVE_GRID else ""
        said = row.measured_written if row.as_typed else f"{sign}{unitless(row.measured_volts, 'V')}"
        yield (Judged(Verdict.PUT_RIGHT, (f"found {said}, {_SAID[row.verdict]}",)),)
