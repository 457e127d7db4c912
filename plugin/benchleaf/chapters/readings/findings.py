"""What follows from the voltages as read: each against what is expected there, operating points, what they suggest."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from ...circuit.operating import Operating
from ...circuit.resistors import Through
from .apart import Apart
from .at_the_bench import AtTheBench
from .crosscheck import Contradiction
from .judging import POSITIVE_GRID, UNDECIDED
from .ordinary import Ordinary
from .past_return import PastReturn
from .rail_sums import RailSum
from .ranked_causes import RunCauses
from .resistance import OhmRow
from .rows import BPlus, LineScale, ReadingRow
from .runs import Conditions
from .signal_figures import StageSignal
from .stage_parts import StageParts
from .suggestions import Suggestion
from .supply_tree import Branch
from .together import AtTube, only_read
from .worked_out import FromTheCircuit, WorkedOut

if TYPE_CHECKING:
    from ...circuit.places import Place


_PAGE: dict[str, Any] = {"json": False}
_DAY_BEFORE = re.compile(r"\d{4}-\d\d?-\d\d?[\s,:;]*")


@dataclass(frozen=True, slots=True)
class TubeReadings:
    """The rows of one tube (or of all rails, ``tube`` empty) in one run. ``all_unread``: nothing was read there."""

    tube: str
    type: str
    rows: tuple[ReadingRow, ...]
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
    apart: tuple[Apart, ...] = ()
    tree: tuple[Branch, ...] = ()
    sums: tuple[RailSum, ...] = ()
    past_return: PastReturn | None = field(default=None, metadata=_PAGE)
    ordinary: tuple[Ordinary, ...] = field(default=(), metadata=_PAGE)
    anchor: str = field(default="", metadata=_PAGE)
    groups: tuple[TubeReadings, ...] = field(default=(), metadata=_PAGE, repr=False)
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
    def loaded(self) -> tuple[ReadingRow, ...]:
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
class ExpectedList:
    """A list of expected values and its conditions."""

    name: str
    kind: str
    of: str
    conditions: Conditions
    tolerance: float | None
    count: int
    other_types: Mapping[str, str] = field(default_factory=dict)


LONG_REMARK = 28
"""Signs of a remark that a narrow column has room for."""


@dataclass(frozen=True, slots=True)
class ReadingsFindings:
    """Everything that the record's readings say. ``operating`` is of the last run that has the stage.

    ``causes`` are what trying every fault comes to, run by run; ``suggestions`` what the rules say, which is told where
    that does not reach.
    ``together`` holds every place with its readings of all runs, ``not_read_yet`` what carries a stage and has none,
    ``stages`` what stands around each stage, ``at_the_bench`` what to expect before it is measured.
    ``worked_out`` is what the set's own circuit gives, place by place; ``circuit`` says how, and
    ``signal`` what each stage does to a small signal at that point.
    """

    rows: tuple[ReadingRow, ...]
    operating: Mapping[str, Operating]
    suggestions: tuple[Suggestion, ...]
    runs: tuple[RunFindings, ...]
    sources: tuple[ExpectedList, ...]
    causes: tuple[RunCauses, ...] = ()
    resistance: tuple[OhmRow, ...] = ()
    together: tuple[AtTube, ...] = field(default=(), metadata=_PAGE, repr=False)
    not_read_yet: tuple[Place, ...] = field(default=(), metadata=_PAGE)
    stages: tuple[StageParts, ...] = field(default=(), metadata=_PAGE)
    worked_out: tuple[WorkedOut, ...] = ()
    signal: tuple[StageSignal, ...] = ()
    circuit: FromTheCircuit | None = field(default=None, metadata=_PAGE)
    at_the_bench: AtTheBench | None = field(default=None, metadata=_PAGE, repr=False)
    published_only: tuple[TubeReadings, ...] = field(default=(), metadata=_PAGE)
    types: Mapping[str, str] = field(default_factory=dict, metadata=_PAGE)

    bases: Mapping[str, str] = field(default_factory=dict, metadata=_PAGE)
    sockets: tuple[str, ...] = field(default=(), metadata=_PAGE)

    @property
    def only_read(self) -> tuple[bool, ...]:
        """Of each list, whether nothing was published for it: nothing is expected there, and nothing judged."""
        rows = [place.cells for group in self.together for place in group.places]
        return tuple(only_read(cells[number] for cells in rows) for number in range(len(self.runs)))

    @property
    def short_names(self) -> tuple[str, ...]:
        """Of each list, its name without the day before it, where that still tells it from the others."""
        short = [run.name[day.end() :] if (day := _DAY_BEFORE.match(run.name)) else run.name for run in self.runs]
        return tuple(
            tail if tail and short.count(tail) == 1 else run.name for tail, run in zip(short, self.runs, strict=True)
        )

    def short_name(self, run: str) -> str:
        """A list's name without the day before it, where that tells it from the others."""
        return dict(zip((one.name for one in self.runs), self.short_names, strict=True)).get(run, run)

    @property
    def latest(self) -> RunFindings | None:
        return self.runs[-1] if self.runs else None

    @property
    def notes(self) -> tuple[str, ...]:
        """The longer remarks on single readings, each once: of several lists they stand below the table."""
        said = (remark for row in self.rows for remark in row.remarks if len(remark) > LONG_REMARK)
        return tuple(dict.fromkeys(said)) if len(self.runs) > 1 else ()

    @property
    def loaded_alike(self) -> tuple[tuple[tuple[ReadingRow, ...], ReadingRow], ...]:
        """The rows whose expected value the meters' loading changed; those of one place that all lists make alike
        together, with the last of them."""
        return _together((row for row in self.rows if row.loading), lambda row: (
            row.tube, row.spot, row.loading, row.adjusted_volts, row.without_loading if row.agrees_by_meter else ""
        ))  # fmt: skip

    @property
    def not_loaded_alike(self) -> tuple[tuple[tuple[ReadingRow, ...], ReadingRow], ...]:
        """The rows whose meters could not be accounted for; those of one place that all lists make alike together."""
        rows = (row for row in self.rows if row.loading_unknown)
        return _together(rows, lambda row: (row.tube, row.spot, row.loading_unknown, row.verdict == UNDECIDED))

    def earlier_points(self, name: str) -> tuple[Operating, ...]:
        """A stage's operating points in lists before the one that ``operating`` has it of, the first list first."""
        now = self.operating[name].run
        names = [run.name for run in self.runs]
        return tuple(run.operating[name] for run in self.runs[: names.index(now)] if name in run.operating)

    def causes_of(self, run: str) -> RunCauses | None:
        """What trying the faults comes to in a run; None where its network does not close."""
        return next((one for one in self.causes if one.run == run), None)


def _together(
    rows: Iterable[ReadingRow], key: Callable[[ReadingRow], Hashable]
) -> tuple[tuple[tuple[ReadingRow, ...], ReadingRow], ...]:
    """Rows alike by a key in one group each, in the order of the first of them."""
    groups: dict[Hashable, list[ReadingRow]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return tuple((tuple(group), group[-1]) for group in groups.values())
