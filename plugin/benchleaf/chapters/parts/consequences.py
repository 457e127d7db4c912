"""What is said of consequences: new values in their place, heat in resistors, whether to reform or to replace."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...record.decibels import say_decibels
from ...report.amount import Amount, Origin, computed
from ...report.sentence import Link, Phrase, Styled, aside
from ...report.table import DECIMAL, Cell, Column, Row, RowGroup, Table, cell
from ...words import Words
from . import verdicts
from .component_words import component

if TYPE_CHECKING:
    from ...report.sentence import PhrasePart
    from .effects import Acting, Effect
    from .findings import PartFindings, PartsFindings, Reformed
    from .held import Heat

_NO_ERROR = 0.001
"""A pair this close to the value wanted is called that value."""


def new_values(findings: PartsFindings, words: Words) -> Table | None:
    """Corner or time constant of each new capacitor in its place, before and after; None where none was computed."""
    rows = tuple(_effect(row, effect, words) for row, effect in findings.effects())
    sides = (Column(side, origin=Origin.COMPUTED) for side in ("Before", "After"))
    caption = (
        "New capacitors in their place, before and after: each with what was in the set then, as measured where that "
        "was done"
    )
    return (
        Table("What the new values do", caption, (Column("Part"), Column("With"), *sides), (RowGroup(rows),))
        if rows
        else None
    )


def _effect(row: PartFindings, effect: Effect, words: Words) -> Row:
    head = cell(Link(row.name, row.anchor), f", {words.of_key(effect.role)}")
    if effect.after is None:
        lacks = (verdicts.unknown("cannot be known"), f" It would need {effect.lacks}.")
        return Row(head, (Cell((lacks,), span=3),))
    before, after = effect.before, effect.after
    other = before is not None and before.ohms != after.ohms
    earlier: Phrase = (", before ", Amount(before.ohms, "ohm")) if before and other else ()
    cells = (
        cell(f"{effect.resistor}, ", Amount(after.ohms, "ohm"), *earlier),
        Cell(_acting(before, effect)),
        Cell(_acting(after, effect)),
    )
    return Row(head, cells)


def _acting(acting: Acting | None, effect: Effect) -> tuple[Phrase, ...]:
    if acting is None:
        return ()
    if effect.role == "AVC":
        said: Phrase = (computed(acting.seconds, "s", tolerances=acting.tolerances), " time constant")
    else:
        said = ("corner ", computed(acting.corner_hertz, "Hz", tolerances=acting.tolerances))
    lines = said, (aside("with ", Amount(acting.farads, "F")),)
    if acting.loss_decibels is None:
        return lines
    once, twice = (say_decibels(loss) for loss in acting.loss_decibels)
    return *lines, (aside(f"loses {once} at ", Amount(effect.line_hertz, "Hz"), f", {twice} at twice that"),)


def heating(findings: PartsFindings) -> Table | None:
    """Resistors that warm, from the volts read at their ends; None where none does."""
    rows = tuple(_heating(row, heat) for row, heat in findings.heating())
    columns = (
        Column("Part"),
        Column("Volts across", DECIMAL, origin=Origin.MEASURED),
        Column("Heat", DECIMAL, origin=Origin.COMPUTED),
        Column("Rating needed", DECIMAL, origin=Origin.COMPUTED),
        Column("Rated"),
    )
    caption = "Resistors that warm, from the volts read at their ends"
    return Table("Heat in resistors", caption, columns, (RowGroup(rows),)) if rows else None


def _heating(row: PartFindings, heat: Heat) -> Row:
    cells = (
        Cell(((Amount(heat.volts, "V", Origin.MEASURED),), (aside(heat.read_in),))),
        cell(Amount(heat.watts, "W", Origin.COMPUTED, digits=2)),
        cell(Amount(heat.needed_watts, "W", Origin.COMPUTED, digits=2)),
        cell(verdicts.heat_rated(heat)),
    )
    return Row(cell(Link(row.name, row.anchor)), cells)


def reform_or_replace(findings: PartsFindings) -> tuple[Phrase, ...]:
    """For each electrolytic that was reformed or measured: which way it leans, why, and what the record lacks."""
    return tuple(_reform(found) for found in findings.reforming())


def _reform(found: Reformed) -> Phrase:
    said: list[PhrasePart] = [Link(found.name, found.anchor), ": ", verdicts.leaning(found.leans)]
    said += [f" because {'; '.join(found.reasons)}"] if found.reasons else []
    said += ["."]
    said += [" ", aside(f"Not in the record: {', '.join(found.lacks)}.")] if found.lacks else []
    return tuple(said)


def still_to_do(findings: PartsFindings) -> tuple[Phrase, ...]:
    """What is open, in the order of work, with what can be bought for a value that is no longer made."""
    return tuple(_waiting(row) for row in findings.to_do())


def _waiting(row: PartFindings) -> Phrase:
    job = f", {row.piece.job}" if row.piece.job else ""
    described = component(row.piece.newest)
    said = (", ", *described) if described else ()
    return Link(row.name, row.anchor), f"{job}: {row.state}", *said, *_made_today(row), "."


def _made_today(row: PartFindings) -> Phrase:
    found = row.substitute
    unit = "F" if row.kind == "capacitor" else "ohm"
    made = (found.one or found.pair) if found else None
    if found is None or made is None or (made.how == "one" and not made.off):
        return ()
    if made.how == "one":
        others = (piece for value in found.others for piece in (" or ", Amount(value, unit)))
        said: Phrase = ("(nearest made today: ", Amount(made.total, unit), ", ", verdicts.off(made.off), *others, ")")
    else:
        one, other = (Amount(value, unit) for value in made.values)
        error = (", ", verdicts.off(made.off)) if abs(made.off) > _NO_ERROR else ()
        said = ("(made today: ", one, " and ", other, f" in {made.how}", *error, ")")
    return " ", Styled(said, Origin.COMPUTED)
