"""What is expected before anything is measured: the published values at the restorer's own line and with his meter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ...circuit.line_scaling import selected_at
from .comparison import compared
from .rows import ReadingRow
from .runs import MEASURED, Conditions, Readings, selector_told

if TYPE_CHECKING:
    from ..bench import Bench


@dataclass(frozen=True, slots=True)
class AtTheBench:
    """Every place that a list gives a value for, with what to expect there under ``conditions``.

    ``like`` names the newest list of measurements, whose line and meter are taken; empty where there is none, so that
    the line is the record's nominal one and the meter the list's own. ``line_matters`` says that the values follow it.
    """

    rows: tuple[ReadingRow, ...]
    conditions: Conditions
    like: str
    line_matters: bool


def at_the_bench(expected: Sequence[Readings], measured: Sequence[Readings], bench: Bench) -> AtTheBench | None:
    """What to expect at each place of the published lists; None where nothing is expected."""
    if not expected:
        return None
    conditions = conditions_at(expected, measured, bench)
    run = Readings(measured[-1].name if measured else "", MEASURED, conditions, (), ())
    rows = compared(bench.circuit, run, expected, bench.circuit.resistors(None, bench.words), words=bench.words).rows
    return AtTheBench(rows, conditions, run.name, bench.circuit.mains.from_line and conditions.line_volts is not None)


def conditions_at(expected: Sequence[Readings], measured: Sequence[Readings], bench: Bench) -> Conditions:
    """The restorer's own line and meter, as in his newest list, and the point that the sheet was read to."""
    mains = bench.circuit.mains
    nominal = mains.volts.nominal if mains.volts else None
    reference = bench.words.of_key(bench.circuit.grounding.reference)
    volts, selector_from = selector_told(selected_at(bench.circuit, ""))
    conditions = Conditions(
        nominal,
        "the record" if nominal else "",
        reference=reference,
        selector_volts=volts,
        selector_from=selector_from,
    )
    conditions = measured[-1].conditions if measured else conditions
    if not expected:
        return conditions
    printed = expected[0].conditions
    if not measured:
        return replace(conditions, reference=printed.reference)
    return replace(conditions, reference=printed.reference, reference_from=printed.reference_from)
