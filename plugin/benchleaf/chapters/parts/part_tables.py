"""The chapter's tables of what was found and fitted, of what was measured, and of what leaks into a grid."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.units import plain
from ...report.amount import Amount, Origin, bound_words
from ...report.sentence import READ, Drawing, Note, Phrase, Styled, aside
from ...report.table import DECIMAL, NUMBER, Cell, Column, Row, RowGroup, Table, cell
from . import verdicts

if TYPE_CHECKING:
    from ...circuit.pieces import Seen
    from ..bench import Bench
    from .findings import PartFindings, PartsFindings
    from .on_grid import OnGrid

_GROUPS = {
    "line side": "Line side",
    "filter": "Filter capacitors",
    "coupling": "Coupling capacitors",
    "bypass": "Bypass capacitors",
    "tuned": "Tuned circuits",
    "other capacitors": "Other capacitors",
    "resistors": "Resistors",
    "others": "Others",
}
_DAYS = ("ordered", "tested", "fitted", "checked")


def found_and_fitted(findings: PartsFindings, bench: Bench) -> Table:
    """Every part in the order of work: what the sheet says, what was there, what is there now, its marks and state."""
    with_sheet = any(row.piece.sheet for row in findings.rows())
    sheet = (Column("Sheet", origin=Origin.PUBLISHED),) if with_sheet else ()
    columns = (
        Column("Part"), *sheet, Column("Found"), Column("New"), Column("Ratings and marks"), Column("State"),
    )  # fmt: skip
    groups = (
        RowGroup(tuple(_part(row, findings, bench, with_sheet=with_sheet) for row in rows), _GROUPS[group])
        for group, rows in findings.groups()
    )
    caption = "Parts in the order of work: what the sheet says, what was found, what is there now"
    return Table("Parts, found and fitted", caption, columns, tuple(groups))


def _part(row: PartFindings, findings: PartsFindings, bench: Bench, *, with_sheet: bool) -> Row:
    whole = findings[row.part]
    head: list[Phrase] = [(row.name,)]
    head += [(aside(row.piece.job),)] if row.piece.job else []
    head += [(aside(" – ".join(row.piece.ends)),)] if row.piece.ends else []
    sheet = (Cell(_component(row.piece.sheet)),) if with_sheet else ()
    cells = (
        *sheet,
        Cell(_component(row.piece.was)),
        Cell((*_component(row.piece.now), *_beside_the_new(row))),
        Cell(verdicts.ratings(row, bench.words)),
        Cell(tuple(_state(row, bench))),
    )
    first = next(iter(whole.sections.values()), None)
    return Row(Cell(tuple(head)), cells, row.anchor, whole.anchor if row is first else "")


def _component(seen: Seen | None) -> tuple[Phrase, ...]:
    """A component as typed, what it was read as where that looks different, what was measured of it, what was noted."""
    return tuple(_seen(seen)) if seen else ()


def _seen(seen: Seen) -> Iterator[Phrase]:
    yield (seen.typed or "not described",)
    if seen.value is not None and plain(seen.value, seen.unit).lower() != seen.value_typed.lower():
        yield (Styled(("read as ", Amount(seen.value, seen.unit, written=seen.value_typed)), READ),)
    if seen.measured_typed:
        yield (Styled((f"measured {seen.measured_typed}",), Origin.MEASURED),)
    if seen.leakage_typed:
        leaks = Styled((f"leakage {seen.leakage_typed}",), Origin.MEASURED)
        ohms = () if seen.leakage_ohms is None else (" ", Styled(("(", _leakage(seen), ")"), Origin.COMPUTED))
        yield (leaks, *ohms)
    if seen.restuffed:
        yield ("restuffed" if seen.restuffed == "restuffed" else f"restuffed {seen.restuffed}",)
    if seen.note:
        yield (Note(seen.note),)


def _leakage(seen: Seen) -> Amount:
    return Amount(seen.leakage_ohms, "ohm", Origin.COMPUTED, bound=bound_words(seen.leakage_bound))


def _beside_the_new(row: PartFindings) -> Iterator[Phrase]:
    if row.change_of_value:
        yield (Styled((verdicts.off(row.change_of_value), " on the value before"), Origin.COMPUTED),)
    if row.piece.now and row.piece.now.value is not None:
        yield (aside(f"{row.preferred_series} value" if row.preferred_series else "no value of E6 to E192"),)


def _state(row: PartFindings, bench: Bench) -> Iterator[Phrase]:
    part = bench.record.parts[row.part]  # type: ignore[index]
    yield (verdicts.state(row.state),)
    for noted in (row.piece.why or part.why, row.piece.note or part.note):
        if noted:
            yield (Note(str(noted)),)
    if part.original:
        yield (f"original: {part.original}",)
    for label in _DAYS:
        if day := getattr(part, label):
            yield (aside(f"{label} {day.isoformat()}"),)
    if not row.piece.paired:
        yield (verdicts.unknown("not paired with another"),)


def measured(findings: PartsFindings) -> Table | None:
    """Drift of every component that was measured, old and new, against its tolerance; None where none was."""
    rows = tuple(_measured(*entry) for entry in findings.measured())
    columns = (
        Column("Part"),
        Column("Marked", DECIMAL),
        Column("Measured", DECIMAL, origin=Origin.MEASURED),
        Column("Drift", NUMBER, origin=Origin.COMPUTED),
        Column("Verdict"),
    )
    caption = "Drift of what was found, and new parts before fitting, against their tolerance"
    return Table("Measured against tolerance", caption, columns, (RowGroup(rows),)) if rows else None


def _measured(row: PartFindings, which: str, nominal: float | None, seen: Seen) -> Row:
    old = which == "found"
    read = Amount(seen.measured, seen.unit, Origin.MEASURED, seen.measured_typed)
    drift = verdicts.off(row.was_drift if old else row.now_drift)
    cells = (
        cell(Amount(nominal, seen.unit), origin=Origin.PUBLISHED if old else Origin.STATED),
        cell(read if seen.measured_bound == "exact" else seen.measured_typed or seen.condition),
        Cell(((drift,), (Drawing(row.bar(which)),))),
        cell(verdicts.as_found(row) if old else verdicts.as_new(row)),
    )
    return Row(cell(f"{row.name}, {which}"), cells)


def leaking(findings: PartsFindings) -> Table | None:
    """Volts that the leakage of coupling capacitors puts on the next grid; None where the set has none of these."""
    rows = tuple(_leaking(*entry) for entry in findings.coupling())
    columns = (
        Column("Capacitor"),
        Column("Leakage", origin=Origin.MEASURED),
        Column("Grid leak"),
        Column("Volts before it"),
        Column("On the grid"),
    )
    caption = "Volts that leakage puts on the next grid"
    return Table("Leakage of coupling capacitors", caption, columns, (RowGroup(rows),)) if rows else None


def _leaking(row: PartFindings, which: str, seen: Seen, grid: OnGrid) -> Row:
    leakage: tuple[Phrase, ...] = ((seen.leakage_typed or "not written",),)
    leakage += ((_leakage(seen),),) if seen.leakage_ohms is not None else ()
    leak = cell(f"{grid.leak_part}, ", Amount(grid.leak_ohms, "ohm")) if grid.leak_part else cell("not in the record")
    cells = (Cell(leakage), leak, _before(grid), cell(*_on_the_grid(grid)))
    return Row(cell(f"{row.name}, {which}"), cells)


def _before(grid: OnGrid) -> Cell:
    if grid.plate_volts is None:
        return cell("not in the record")
    read = (Amount(grid.plate_volts, "V", Origin.MEASURED), f" at {grid.plate}")
    return Cell((read, (aside(grid.plate_volts_from or ""),)))


def _on_the_grid(grid: OnGrid) -> Phrase:
    if grid.volts is not None:
        bound = bound_words(grid.volts_bound)
        volts = Amount(grid.volts, "V", Origin.COMPUTED, bound=bound, signed=True)
        return volts, " ", verdicts.on_the_grid(grid)
    lacks = {
        "leakage": "a measured leakage",
        "leakage volts": "the volts at which the leakage was measured",
        "grid leak": f"a resistor in the parts from {grid.grid} to B- or the chassis",
        "plate volts": f"a reading at {grid.plate}",
    }
    *most, last = (lacks[lack] for lack in grid.lacks)
    wanted = f"{', '.join(most)} and {last}" if most else last
    return verdicts.on_the_grid(grid), f" It would need {wanted}."
