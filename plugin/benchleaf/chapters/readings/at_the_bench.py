"""What is expected before anything is measured: the published values at the restorer's own line and with his meter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .comparison import compared
from .rows import ReadingRow
from .runs import MEASURED, Conditions, Readings

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
    printed, mains = expected[0].conditions, bench.circuit.mains
    nominal = mains.volts.nominal if mains.volts else None
    conditions = Conditions(nominal, "the record" if nominal else "", reference=printed.reference)
    if measured:
        conditions = replace(
            measured[-1].conditions, reference=printed.reference, reference_from=printed.reference_from
        )
    run = Readings(measured[-1].name if measured else "", MEASURED, conditions, (), ())
    rows = compared(bench.circuit, run, expected, bench.circuit.resistors(None, bench.words), words=bench.words).rows
    return AtTheBench(rows, conditions, run.name, mains.from_line and conditions.line_volts is not None)
