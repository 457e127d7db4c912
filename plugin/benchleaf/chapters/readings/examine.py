"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ...circuit.currents import drains
from ...circuit.operating import Operating
from ...circuit.resistors import resistors
from ...record.figures import to_figures
from .apart import apart
from .comparison import ComparedRun, compared
from .crosscheck import contradictions
from .findings import ExpectedList, ReadingsFindings, RunFindings, SideRow, TubeReadings
from .judging import NOT_EXPECTED, NOT_READ, OUTSIDE, UNDECIDED, WITHIN
from .ordinary import Ordinary, ordinary, with_ordinary
from .read_stages import working_points
from .resistance import resistance_rows
from .rows import ReadingRow
from .runs import Conditions, Readings, told_apart
from .suggestions import suggestions
from .supply_tree import supply_tree
from .volts import voltages

if TYPE_CHECKING:
    from ..bench import Bench


SOCKET = "voltages-socket-"
"""What the names of the socket charts begin with; the number of the tube's group follows."""

RAILS = ""
"""The position that stands for rails and windings in a run's tables."""


def examine(bench: Bench, parts: object = None) -> ReadingsFindings | None:
    """What follows from the record's readings; None where it has none.

    ``parts``, the findings of the parts, are not needed: the resistors that matter are read where they are written.
    """
    record = bench.record
    if not record.readings:
        return None
    expected, measured = told_apart(bench)
    found, ranges = [], []
    for run in measured:
        parts = resistors(bench.circuit, run.date, bench.dialect)
        ranges.append({source.name: tuple(ordinary(source, bench, parts)) for source in expected})
        found.append(with_ordinary(compared(bench.circuit, run, expected, parts), ranges[-1]))
    types = {str(position): str(fitted.type) for position, fitted in record.tubes.items()}
    points = [working_points(run, bench) for run in measured]
    runs = tuple(
        _run(n, one, points[n], bench, types, tuple(o for of in ranges[n].values() for o in of))
        for n, one in enumerate(found)
    )
    latest: dict[str, Operating] = {}
    for of_run in points:
        latest |= of_run
    order = list(types)
    published_only = () if measured else _published_only(expected, bench, types)
    charted = runs[-1].groups if runs else published_only
    return ReadingsFindings(
        rows=tuple(row for one in found for row in one.rows),
        operating=dict(sorted(latest.items(), key=lambda item: order.index(item[1].tube))),
        suggestions=suggestions(found, bench),
        runs=runs,
        sources=tuple(_source(readings) for readings in expected),
        resistance=resistance_rows(bench),
        side_by_side=_side_by_side(found),
        published_only=published_only,
        types=types,
        bases=_bases(charted, bench),
        sockets=tuple(f"{SOCKET}{number}" for number in range(1, len(charted) + 1)),
    )


def _bases(groups: Sequence[TubeReadings], bench: Bench) -> dict[str, str]:
    """The bases of the tubes shown, each with where its pin positions come from."""
    from ...tubes.sockets import socket

    tubes = [bench.tubes[group.tube] for group in groups if group.tube in bench.tubes]
    sockets = [socket(tube.base) for tube in tubes if tube.base and tube.pins]
    return {known.base: known.source for known in sockets if known}


def _run(
    number: int,
    one: ComparedRun,
    points: Mapping[str, Operating],
    bench: Bench,
    types: Mapping[str, str],
    ranges: tuple[Ordinary, ...],
) -> RunFindings:
    words = [row.verdict for row in one.rows]
    parts = resistors(bench.circuit, one.run.date, bench.dialect)
    judged = [row for row in one.rows if row.expected_written]
    b_plus_row = next((row for row in one.rows if one.b_plus and one.b_plus.is_at(row.spot)), None)
    return RunFindings(
        name=one.run.name,
        date=one.run.date,
        conditions=one.run.conditions,
        within=words.count(WITHIN),
        outside=sum(row.verdict in OUTSIDE for row in judged),
        undecided=words.count(UNDECIDED),
        not_read=words.count(NOT_READ),
        without_expected=words.count(NOT_EXPECTED),
        outside_at_its_b_plus=sum(_off_at_its_b_plus(row) for row in judged) if one.b_plus else None,
        b_plus=one.b_plus,
        b_plus_verdict=b_plus_row.verdict if b_plus_row else None,
        line=one.scales,
        other_reference=one.references,
        drains=(through := drains(bench.circuit, voltages(one.run, bench.circuit.network), parts)),
        contradictions=contradictions(one.run, bench),
        apart=tuple(apart(one.run, bench)),
        tree=supply_tree(one, bench, through, points),
        ordinary=ranges,
        anchor=f"voltages-run-{number + 1}",
        groups=_groups(one.rows, types),
        operating=points,
    )


def _off_at_its_b_plus(row: ReadingRow) -> bool:
    """Whether a reading is off by itself, and not only because B+ is."""
    return row.verdict in OUTSIDE if row.normalised_verdict is None else row.normalised_verdict in OUTSIDE


def _groups(rows: Sequence[ReadingRow], types: Mapping[str, str]) -> tuple[TubeReadings, ...]:
    sorted_in: dict[str, list[ReadingRow]] = {}
    for row in rows:
        sorted_in.setdefault(row.tube if row.tube in types else RAILS, []).append(row)
    return tuple(
        TubeReadings(tube, types.get(tube, ""), tuple(of_tube), all(row.verdict == NOT_READ for row in of_tube))
        for tube, of_tube in sorted_in.items()
    )


def _published_only(expected: Sequence[Readings], bench: Bench, types: Mapping[str, str]) -> tuple[TubeReadings, ...]:
    """The expected values by themselves, in the order of looking, for a set that was not measured yet."""
    nothing = Readings("", "measured", Conditions(None, ""), (), ())
    return _groups(compared(bench.circuit, nothing, expected).rows, types)


def _source(readings: Readings) -> ExpectedList:
    return ExpectedList(
        readings.name,
        readings.kind,
        readings.of,
        readings.conditions,
        readings.tolerance,
        len(readings.values),
        readings.other_types,
    )


def _side_by_side(found: Sequence[ComparedRun]) -> tuple[SideRow, ...]:
    """Every place that more than one run has a reading of, and what became of it."""
    by_place: dict[tuple[str, ...], list[ReadingRow | None]] = {}
    for n, one in enumerate(found):
        for row in one.rows:
            if row.measured_written:
                by_place.setdefault(row.spot.identity, [None] * len(found))[n] = row
    told = []
    for cells in by_place.values():
        read = [row for row in cells if row]
        if len(read) < 2:
            continue
        first, last = read[0], read[-1]
        change = _change(first, last)
        recovered = first.verdict in OUTSIDE and last.verdict == WITHIN
        told.append(SideRow(first.tube, first.spot.said, tuple(cells), change, recovered))
    return tuple(told)


def _change(first: ReadingRow, last: ReadingRow) -> float | None:
    """Volts from one reading to another; None where either is only a bound."""
    exact = all(row.measured_qualifier in ("exact", "approx", "tolerance") for row in (first, last))
    if not exact or first.measured_volts is None or last.measured_volts is None:
        return None
    return to_figures(last.measured_volts - first.measured_volts)
