"""The chapter's tables of what was found and fitted, and of what leaks into a grid."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...report.amount import Amount, Origin, bound_words
from ...report.sentence import Drawing, Judged, Note, Phrase, Styled, aside, listed
from ...report.table import Cell, Column, Row, RowGroup, Table, cell
from ...report.verdict import Verdict
from ...words import Words
from . import verdicts
from .component_words import (
    component,
    leakage,
    leakage_resistance,
    measured,
    of_the_series,
    own_spelling,
    series_resistance,
)
from .dates import days

if TYPE_CHECKING:
    from ...circuit.pieces import Seen
    from ..bench import Bench
    from .findings import PartFindings, PartsFindings
    from .on_grid import OnGrid

_GROUPS = {
    "line side": "line side",
    "filter": "filter capacitors",
    "coupling": "coupling capacitors",
    "bypass": "bypass capacitors",
    "tuned": "tuned circuits",
    "other capacitors": "other capacitors",
    "resistors": "resistors",
    "others": "others",
}


def found_and_fitted(findings: PartsFindings, bench: Bench) -> Table:
    """Every part in the order of work: what was found and what is there now, each as marked, measured and off by."""
    found = (Column("Found"), Column("Found, measured"), Column("Found, off by"))
    fitted = (Column("Fitted"), Column("Fitted, measured"), Column("Fitted, off by"))
    columns = (Column("Part, job, between"), *found, *fitted, Column("Ratings, marks, work"))
    groups = (
        RowGroup(tuple(_part(row, findings, bench) for row in rows), bench.words.heading(_GROUPS[group]))
        for group, rows in findings.groups()
    )
    return Table("Parts, found and fitted", _caption(findings), columns, tuple(groups))


def _caption(findings: PartsFindings) -> str:
    assumed = {row.assumed_tolerance for row in findings.rows() if row.assumed_tolerance is not None}
    said = "Parts in the order of work. A bar ends at the tolerance, a part beyond it has none"
    if not assumed:
        return f"{said}."
    bands = " or ".join(verdicts.band_words(band) for band in sorted(assumed, key=lambda band: (band.high, band.low)))
    return f"{said}; where no tolerance is written, {bands} is assumed."


def _part(row: PartFindings, findings: PartsFindings, bench: Bench) -> Row:
    whole = findings[row.part]
    first = next(iter(whole.sections.values()), None)
    with_part = row is first or not whole.sections
    old, new = row.piece.was, row.piece.now
    beside = ", ".join(dict.fromkeys(said for said in (row.piece.job, " to ".join(row.between)) if said))
    cells = (
        Cell((*_of_sheet(row.piece.sheet), *_marked(old))),
        Cell(_measured(old, Origin.MEASURED)),
        Cell(tuple(_found_off(row))),
        *_fitted(row, new),
        Cell((*_judged(row, bench), *_of_new_value(row), *_work(row, bench, with_part=with_part))),
    )
    return Row(cell(row.name, " ", aside(beside)), cells, row.anchor, whole.anchor if row is first else "")


def _of_sheet(sheet: Seen | None) -> tuple[Phrase, ...]:
    if sheet is None:
        return ()
    return ((Styled(("sheet ", *component(sheet)), Origin.PUBLISHED),), *_written(sheet))


def _marked(seen: Seen | None) -> tuple[Phrase, ...]:
    """A component as marked, how it was written where that looks different, and what was noted of it."""
    if seen is None:
        return ()
    restuffed = "restuffed" if seen.restuffed == "restuffed" else f"restuffed {seen.restuffed}"
    return (
        component(seen),
        *_written(seen),
        *(((restuffed,),) if seen.restuffed else ()),
        *(((Note(seen.note),),) if seen.note else ()),
    )


def _written(seen: Seen) -> tuple[Phrase, ...]:
    typed = own_spelling(seen)
    return ((aside(f"written {typed}"),),) if typed else ()


def _measured(seen: Seen | None, of_esr: Origin) -> tuple[Phrase, ...]:
    """What the meter showed of a component, its leakage with the ohms it comes to, and its series resistance."""
    if seen is None:
        return ()
    leaks = leakage(seen)
    ohms: Phrase = ("leakage ", *leaks)
    if leaks and seen.leakage_ohms is not None:
        ohms = (*ohms, " (", leakage_resistance(seen), ")")
    return tuple(line for line in (measured(seen), ohms if leaks else (), series_resistance(seen, of_esr)) if line)


def _found_off(row: PartFindings) -> Iterator[Phrase]:
    judged = verdicts.as_found(row) if row.was_in_tolerance is not None or row.assumed_tolerance else None
    yield from _off(row, "found", row.was_drift, judged, inside=row.old_is_fitted)


def _off(
    row: PartFindings, which: str, drift: float | None, judged: Judged | Styled | None, *, inside: bool
) -> Iterator[Phrase]:
    """A drift with its bar; out of tolerance its verdict takes the bar's place, in brackets where that is assumed."""
    number: Phrase = () if drift is None else (verdicts.off(drift),)
    plain = judged.words[0] if isinstance(judged, Styled) else judged
    if not isinstance(plain, Judged) or not plain.verdict.is_off:
        yield (*number, " ", Drawing(row.bar(which))) if number else (plain,) if plain else ()
        return
    verdict = verdicts.of_the_set(plain.verdict, inside=inside)
    marked = Judged(verdict, number or plain.words)
    yield (Styled((marked,), judged.style) if isinstance(judged, Styled) else marked,)


def _fitted(row: PartFindings, new: Seen | None) -> tuple[Cell, ...]:
    """What is there now, in three cells; one across them where there is no new part."""
    state = verdicts.state(row.state)
    if new is None:
        return (Cell(((state if state.verdict is not Verdict.GOOD else row.state,),), span=3),)
    judged = verdicts.as_new(row) if new.measured_bound else None
    return (
        Cell(((state,) if state.verdict is Verdict.OPEN else (), *_marked(new))),
        Cell(_measured(new, Origin.STATED)),
        Cell(tuple(_off(row, "new", row.now_drift, judged, inside=True))),
    )


def _of_new_value(row: PartFindings) -> Iterator[Phrase]:
    """How far the new value is from the one before, and the series it is of."""
    if row.piece.now is None or row.piece.now.value is None:
        return
    series = of_the_series(f"{row.piece.now.note} {row.piece.note}", row.preferred_series)
    if row.change_of_value:
        yield (aside(Styled((verdicts.off(row.change_of_value),), Origin.COMPUTED), f" on the value before, {series}"),)
    else:
        yield (aside(series),)


def _judged(row: PartFindings, bench: Bench) -> tuple[Phrase, ...]:
    """What is said of ratings and marks, in one line."""
    said = [*verdicts.ratings(row, bench.words)]
    said += [] if row.piece.paired else [(verdicts.unknown("not paired with another"),)]
    return (listed(said, "; "),) if said else ()


def _work(row: PartFindings, bench: Bench, *, with_part: bool) -> Iterator[Phrase]:
    """Why, and what else is written; what is written of the whole part stands with the first of its sections."""
    part = bench.record.parts[row.part]  # type: ignore[index]
    noted = [row.piece.why or (part.why if with_part else ""), row.piece.note or (part.note if with_part else "")]
    yield from ((Note(str(words)),) for words in noted if words)
    if with_part and part.original:
        yield (f"original: {part.original}",)
    if with_part and (told := days(part)):
        yield (aside(told),)


def leaking(findings: PartsFindings, words: Words) -> Table | None:
    """Volts that the leakage of coupling capacitors puts on the next grid; None where the set has none of these."""
    rows = tuple(_leaking(*entry, words=words) for entry in findings.coupling())
    columns = (
        Column("Capacitor"),
        Column("Leakage", origin=Origin.MEASURED),
        Column("Grid leak"),
        Column("Volts before it"),
        Column("On the grid"),
    )
    caption = "Volts that leakage puts on the next grid"
    return Table("Leakage of coupling capacitors", caption, columns, (RowGroup(rows),)) if rows else None


def _leaking(row: PartFindings, which: str, seen: Seen, grid: OnGrid, words: Words) -> Row:
    told: tuple[Phrase, ...] = (leakage(seen) or ("not written",),)
    told += ((leakage_resistance(seen),),) if seen.leakage_ohms is not None else ()
    leak = cell(f"{grid.leak_part}, ", Amount(grid.leak_ohms, "ohm")) if grid.leak_part else cell("not in the record")
    cells = (Cell(told), leak, _before(grid), cell(*_on_the_grid(grid, words)))
    return Row(cell(f"{row.name}, {which}"), cells)


def _before(grid: OnGrid) -> Cell:
    if grid.plate_volts is None:
        return cell("not in the record")
    read = (Amount(grid.plate_volts, "V", Origin.MEASURED), f" at {grid.plate}")
    return Cell((read, (aside(grid.plate_volts_from or ""),)))


def _on_the_grid(grid: OnGrid, words: Words) -> Phrase:
    if grid.volts is not None:
        bound = bound_words(grid.volts_bound)
        volts = Amount(grid.volts, "V", Origin.COMPUTED, bound=bound, signed=True)
        return volts, " ", verdicts.on_the_grid(grid), *verdicts.read_on_the_grid(grid)
    lacks = {
        "leakage": "a measured leakage",
        "leakage volts": "the volts at which the leakage was measured",
        "grid leak": f"a resistor in the parts from {grid.grid} to {words.b_minus} or the chassis",
        "plate volts": f"a reading at {grid.plate}",
    }
    *most, last = (lacks[lack] for lack in grid.lacks)
    wanted = f"{', '.join(most)} and {last}" if most else last
    return verdicts.on_the_grid(grid), f" It would need {wanted}."
