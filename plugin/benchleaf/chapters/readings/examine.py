"""What follows: the findings of the chapter worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from ...circuit.currents import drains
from ...circuit.operating import Operating
from .apart import apart
from .at_the_bench import AtTheBench, at_the_bench, conditions_at
from .comparison import ComparedRun, compared
from .crosscheck import contradictions
from .findings import ExpectedList, ReadingsFindings, RunFindings, TubeReadings
from .judging import NOT_EXPECTED, NOT_READ, OUTSIDE, UNDECIDED, WITHIN, all_within
from .ordinary import Ordinary, ordinary, with_ordinary
from .past_return import past_return
from .rail_sums import rail_sums
from .resistance import resistance_rows
from .rows import ReadingRow
from .runs import Conditions, Readings, told_apart
from .stage_parts import stage_parts
from .suggestions import Suggestion, suggestions
from .supply_tree import supply_tree
from .together import RAILS, together
from .told_causes import run_causes
from .unread import not_read_yet
from .volts import voltages
from .worked_out import FromTheCircuit, from_the_circuit
from .working_points import working_points

if TYPE_CHECKING:
    from ..bench import Bench
    from .ranked_causes import RunCauses


SOCKET = "voltages-socket-"
"""What the names of the socket charts begin with; the number of the tube's group follows."""


def examine(bench: Bench, parts: object = None) -> ReadingsFindings | None:
    """What follows from the record's readings and its circuit; None where neither gives a voltage.

    ``parts``, the findings of the parts, are not needed: the resistors that matter are read where they are written.
    """
    record = bench.record
    expected, measured = told_apart(bench)
    if not (record.readings or bench.circuit.network.stages):
        return None
    found, ranges = [], []
    for run in measured:
        parts = bench.circuit.resistors(run.when, bench.words)
        ranges.append({source.name: tuple(ordinary(source, bench, parts)) for source in expected})
        found.append(with_ordinary(compared(bench.circuit, run, expected, parts, words=bench.words), ranges[-1]))
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
    expected_here = at_the_bench(expected, measured, bench)
    by_circuit = _by_circuit(expected, measured, found, expected_here, bench)
    causes = run_causes(measured, expected, bench, _in_order(found, by_circuit))
    published_only = () if measured else _published_only(expected, bench, types)
    all_places = together([one.rows for one in found] or [[r for g in published_only for r in g.rows]], bench)
    charted = runs[-1].groups if runs else published_only
    if not record.readings and not (by_circuit and by_circuit.places):
        return None
    return ReadingsFindings(
        rows=tuple(row for one in found for row in one.rows),
        operating=dict(sorted(latest.items(), key=lambda item: order.index(item[1].tube))),
        suggestions=_with_tried(suggestions(found, bench), causes),
        causes=causes,
        runs=runs,
        sources=tuple(_source(readings) for readings in expected),
        resistance=resistance_rows(bench),
        together=all_places,
        at_the_bench=expected_here,
        worked_out=by_circuit.places if by_circuit else (),
        signal=by_circuit.signal if by_circuit else (),
        circuit=by_circuit,
        stages=stage_parts(all_places, {one.run.name: one.run.when for one in found}, bench),
        not_read_yet=not_read_yet((value.spot.place for run in measured for value in run.values), bench),
        published_only=published_only,
        types=types,
        bases=_bases(charted, bench),
        sockets=tuple(f"{SOCKET}{number}" for number in range(1, len(charted) + 1)),
    )


def _in_order(found: Sequence[ComparedRun], by_circuit: FromTheCircuit | None) -> list[str]:
    """The lists in which no part is suspected: all that is held to a value, or to the set's circuit, lies within."""
    names = [one.run.name for one in found if all_within(row.verdict for row in one.rows)]
    last = found[-1] if found else None
    outside = last is None or any(row.verdict in OUTSIDE for row in last.rows)
    if last is not None and not outside and by_circuit is not None and by_circuit.holds_all:
        names.append(last.run.name)
    return names


def _by_circuit(
    expected: Sequence[Readings],
    measured: Sequence[Readings],
    found: Sequence[ComparedRun],
    here: AtTheBench | None,
    bench: Bench,
) -> FromTheCircuit | None:
    """What the circuit makes of the voltages at the restorer's line, with his meter or else the sheet's."""
    conditions = conditions_at(expected, measured, bench)
    if expected and not measured:
        printed = expected[0].conditions
        conditions = replace(
            printed,
            line_volts=conditions.line_volts,
            line_from=conditions.line_from,
            selector_volts=conditions.selector_volts,
            selector_from=conditions.selector_from,
        )
    rows = found[-1].rows if found else here.rows if here else ()
    return from_the_circuit(bench, conditions, measured[-1] if measured else None, rows)


def _with_tried(told: Sequence[Suggestion], causes: Sequence[RunCauses]) -> tuple[Suggestion, ...]:
    """The rules' suggestions, marked where every fault was tried: what that comes to speaks there, in their words."""
    covered = {one.run: one.covered for one in causes}
    return tuple(replace(one, tried=one.tube in covered.get(one.run, ())) for one in told)


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
    parts = bench.circuit.resistors(one.run.when, bench.words)
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
        tree=(tree := supply_tree(one, bench, through, points)),
        sums=rail_sums(one.run, bench, through, points, tree),
        past_return=past_return(one.run, bench, through),
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
    return _groups(compared(bench.circuit, nothing, expected, words=bench.words).rows, types)


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
