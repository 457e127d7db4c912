"""What follows from the voltages as read: each against what is expected there, operating points, what they suggest."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from .comparison import Compared, compared
from .conclusions import standouts
from .crosscheck import Contradiction, contradictions
from .judging import NOT_EXPECTED, NOT_READ, OUTSIDE, POSITIVE_GRID, UNDECIDED, WITHIN
from .operating import Operating, drains, operating
from .ordinary import Ordinary, ordinary, with_ordinary
from .resistance import OhmRow, resistance_rows
from .resistors import Through, resistors
from .rows import BPlus, LineScale, Row
from .runs import Conditions, Readings, told_apart
from .suggestions import Suggestion, suggestions
from .supply_tree import Branch, supply_tree

if TYPE_CHECKING:
    from ...bench import Bench
    from ...record.model import Record

__all__ = ["ReadingsFindings", "RunFindings", "examine", "standouts"]

_PAGE: dict[str, Any] = {"json": False}
SOCKET = "voltages-socket-"
"""What the names of the socket charts begin with; the number of the tube's group follows."""

RAILS = ""
"""The position that stands for rails and windings in a run's tables."""


@dataclass(frozen=True, slots=True)
class Group:
    """The rows of one tube (or of all rails, ``tube`` empty) in one run. ``all_unread``: nothing was read there."""

    tube: str
    type: str
    rows: tuple[Row, ...]
    all_unread: bool


@dataclass(frozen=True, slots=True)
class RunFindings:
    """One list of measurements: its conditions, how many readings are how, its B+ against the published one.

    ``outside`` counts those that have an expected value, ``outside_at_its_b_plus`` those of them that are off even in
    proportion to the measured B+.
    """

    name: str
    date: datetime.date | None
    conditions: Conditions
    within: int
    outside: int
    undecided: int
    not_read: int
    without_expected: int
    outside_at_its_b_plus: int | None
    b_plus: BPlus | None
    b_plus_verdict: str | None
    line: tuple[LineScale, ...]
    other_reference: tuple[str, ...]
    drains: tuple[Through, ...]
    contradictions: tuple[Contradiction, ...] = ()
    tree: tuple[Branch, ...] = ()
    ordinary: tuple[Ordinary, ...] = field(default=(), metadata=_PAGE)
    anchor: str = field(default="", metadata=_PAGE)
    groups: tuple[Group, ...] = field(default=(), metadata=_PAGE, repr=False)
    operating: Mapping[str, Operating] = field(default_factory=dict, metadata=_PAGE)

    @property
    def positive_grids(self) -> tuple[str, ...]:
        """The control grids that are positive, as the page names them."""
        rows = (row for group in self.groups for row in group.rows)
        return tuple(f"{row.tube} {row.spot.said}" for row in rows if row.verdict == POSITIVE_GRID)

    @property
    def by_meter(self) -> int:
        """How many readings agree once the two meters are accounted for, and would not without."""
        return sum(row.agrees_by_meter for group in self.groups for row in group.rows)

    @property
    def loaded(self) -> tuple[Row, ...]:
        """The rows whose expected value the meters' loading changed."""
        return tuple(row for group in self.groups for row in group.rows if row.loading)

    @property
    def read(self) -> int:
        """How many places were read."""
        return sum(bool(row.measured_written) for group in self.groups for row in group.rows)

    @property
    def compared(self) -> int:
        """How many readings have an expected value."""
        return self.within + self.outside + self.undecided


@dataclass(frozen=True, slots=True)
class Source:
    """A list of expected values and its conditions."""

    name: str
    kind: str
    of: str
    conditions: Conditions
    tolerance: float | None
    count: int
    other_types: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SideRow:
    """One place in several runs. ``change_volts`` is the last reading less the first; None where one is no number."""

    tube: str
    said: str
    cells: tuple[Row | None, ...]
    change_volts: float | None
    recovered: bool


@dataclass(frozen=True, slots=True)
class ReadingsFindings:
    """Everything that the record's readings say. ``operating`` is of the last run that has the stage."""

    rows: tuple[Row, ...]
    operating: Mapping[str, Operating]
    suggestions: tuple[Suggestion, ...]
    runs: tuple[RunFindings, ...]
    sources: tuple[Source, ...]
    resistance: tuple[OhmRow, ...] = ()
    side_by_side: tuple[SideRow, ...] = field(default=(), metadata=_PAGE, repr=False)
    published_only: tuple[Group, ...] = field(default=(), metadata=_PAGE)
    types: Mapping[str, str] = field(default_factory=dict, metadata=_PAGE)

    bases: Mapping[str, str] = field(default_factory=dict, metadata=_PAGE)
    sockets: tuple[str, ...] = field(default=(), metadata=_PAGE)

    @property
    def latest(self) -> RunFindings | None:
        return self.runs[-1] if self.runs else None


def examine(record: Record, bench: Bench, parts: object = None) -> ReadingsFindings | None:
    """What follows from the record's readings; None where it has none.

    ``parts``, the findings of the parts, are not needed: the resistors that matter are read where they are written.
    """
    if not record.readings:
        return None
    expected, measured = told_apart(record, bench)
    found, ranges = [], []
    for run in measured:
        parts = resistors(record, bench, run.date)
        ranges.append({source.name: tuple(ordinary(source, record, bench, parts)) for source in expected})
        found.append(with_ordinary(compared(record, run, expected, bench.tubes, parts), ranges[-1]))
    types = {str(position): str(fitted.type) for position, fitted in record.tubes.items()}
    points = [operating(run, record, bench) for run in measured]
    runs = tuple(
        _run(n, one, points[n], record, bench, types, tuple(o for of in ranges[n].values() for o in of))
        for n, one in enumerate(found)
    )
    latest: dict[str, Operating] = {}
    for of_run in points:
        latest |= of_run
    order = list(types)
    published_only = () if measured else _published_only(record, expected, bench, types)
    charted = runs[-1].groups if runs else published_only
    return ReadingsFindings(
        rows=tuple(row for one in found for row in one.rows),
        operating=dict(sorted(latest.items(), key=lambda item: order.index(item[1].tube))),
        suggestions=suggestions(found, record, bench),
        runs=runs,
        sources=tuple(_source(readings) for readings in expected),
        resistance=resistance_rows(record, bench),
        side_by_side=_side_by_side(found),
        published_only=published_only,
        types=types,
        bases=_bases(charted, bench),
        sockets=tuple(f"{SOCKET}{number}" for number in range(1, len(charted) + 1)),
    )


def _bases(groups: Sequence[Group], bench: Bench) -> dict[str, str]:
    """The bases of the tubes shown, each with where its pin positions come from."""
    from ...tubes.sockets import socket

    tubes = [bench.tubes[group.tube] for group in groups if group.tube in bench.tubes]
    places = [socket(tube.base) for tube in tubes if tube.base and tube.pins]
    return {place.base: place.source for place in places if place}


def _run(
    number: int,
    one: Compared,
    points: Mapping[str, Operating],
    record: Record,
    bench: Bench,
    types: Mapping[str, str],
    ranges: tuple[Ordinary, ...],
) -> RunFindings:
    words = [row.verdict for row in one.rows]
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
        drains=(through := drains(one.run, record, bench)),
        contradictions=contradictions(one.run, record, bench),
        tree=supply_tree(one, record, bench, through, points),
        ordinary=ranges,
        anchor=f"voltages-run-{number + 1}",
        groups=_groups(one.rows, types),
        operating=points,
    )


def _off_at_its_b_plus(row: Row) -> bool:
    """Whether a reading is off by itself, and not only because B+ is."""
    return row.verdict in OUTSIDE if row.normalised_verdict is None else row.normalised_verdict in OUTSIDE


def _groups(rows: Sequence[Row], types: Mapping[str, str]) -> tuple[Group, ...]:
    sorted_in: dict[str, list[Row]] = {}
    for row in rows:
        sorted_in.setdefault(row.tube if row.tube in types else RAILS, []).append(row)
    return tuple(
        Group(tube, types.get(tube, ""), tuple(of_tube), all(row.verdict == NOT_READ for row in of_tube))
        for tube, of_tube in sorted_in.items()
    )


def _published_only(
    record: Record, expected: Sequence[Readings], bench: Bench, types: Mapping[str, str]
) -> tuple[Group, ...]:
    """The expected values by themselves, in the order of looking, for a set that was not measured yet."""
    nothing = Readings("", "measured", Conditions(None, ""), (), ())
    return _groups(compared(record, nothing, expected, bench.tubes).rows, types)


def _source(readings: Readings) -> Source:
    return Source(
        readings.name,
        readings.kind,
        readings.of,
        readings.conditions,
        readings.tolerance,
        len(readings.values),
        readings.other_types,
    )


def _side_by_side(found: Sequence[Compared]) -> tuple[SideRow, ...]:
    """Every place that more than one run has a reading of, and what became of it."""
    by_place: dict[tuple[str, ...], list[Row | None]] = {}
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


def _change(first: Row, last: Row) -> float | None:
    """Volts from one reading to another; None where either is only a bound."""
    exact = all(row.measured_qualifier in ("exact", "approx", "tolerance") for row in (first, last))
    if not exact or first.measured_volts is None or last.measured_volts is None:
        return None
    return last.measured_volts - first.measured_volts
