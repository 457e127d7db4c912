"""One tube's readings in one run with what the parts list has around it: what the rules look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from .comparison import Compared
from .coupling import Coupling, bypasses, couplings
from .judging import POSITIVE_GRID
from .places import RAIL
from .resistors import Node, Resistor, resistors, voltages
from .rows import Row
from .runs import Readings

if TYPE_CHECKING:
    from ...bench import Bench
    from ...record.model import Record

NEXT_TO_NOTHING = 0.05
"""Share of B+ below which a plate or screen has no voltage to speak of. Common practice, no source."""

LEAST_B_PLUS_VOLTS = 20.0
"""What is called B+ being there. Common practice, no source."""

DRIVEN_VOLTS = 0.5
"""A cathode published at this or more has a resistor that makes it. Common practice, no source."""

METER_THAT_LOADS_OHMS = 1e6
NEAR_NOMINAL = 0.2


@dataclass(frozen=True)
class Case:
    """One tube. ``b_plus_volts`` is the highest direct voltage that the run reads on a supply rail."""

    run: str
    tube: str
    role: str
    rows: tuple[Row, ...]
    couplings: Mapping[Node, Coupling]
    parts: tuple[Resistor, ...]
    bypasses: Mapping[Node, str]
    volts_at: Mapping[Node, float]
    b_plus_volts: float | None
    meter_loads: bool

    @cached_property
    def by_kind(self) -> dict[str, Row]:
        """The first section's row of each kind that was read, DC only."""
        found: dict[str, Row] = {}
        for row in self.rows:
            if (
                row.current == "DC"
                and row.measured_qualifier
                and (row.spot.section == 0 or row.spot.kind == "osc grid")
            ):
                found.setdefault(row.spot.kind, row)
        return found

    def volts(self, kind: str) -> float | None:
        """The reading of one electrode in volts, where it is a number and not a bound."""
        row = self.by_kind.get(kind)
        return row.measured_volts if row and row.measured_qualifier in ("exact", "approx", "tolerance") else None

    def state(self, kind: str) -> str:
        """The verdict for one electrode, beside the set's own B+ where that is known; empty where it was not read."""
        row = self.by_kind.get(kind)
        return (row.normalised_verdict or row.verdict) if row else ""

    def node(self, kind: str) -> Node | None:
        row = self.by_kind.get(kind)
        return Node(self.tube, row.spot.key) if row else None

    @property
    def positive_grid(self) -> Row | None:
        return next((row for row in self.rows if row.verdict == POSITIVE_GRID), None)

    @property
    def grid_is_negative(self) -> bool:
        """Whether the control grid was read and is at 0 or below."""
        row = self.by_kind.get("grid")
        return row is not None and row.verdict != POSITIVE_GRID

    @property
    def coupling(self) -> Coupling | None:
        """The capacitor that leads to the positive grid."""
        row = self.positive_grid
        return self.couplings.get(Node(self.tube, row.spot.key)) if row else None

    @property
    def is_output(self) -> bool:
        return "output" in self.role

    def dead(self, kind: str) -> bool:
        """Whether an electrode has next to nothing while B+ is there."""
        volts, supply = self.volts(kind), self.b_plus_volts
        return volts is not None and supply is not None and abs(volts) < NEXT_TO_NOTHING * supply

    def resistor(self, kind: str) -> Resistor | None:
        """The only resistor at an electrode."""
        at = self.node(kind)
        found = [part for part in self.parts if at and at in part.ends]
        return found[0] if len(found) == 1 else None

    def sound(self, kind: str) -> bool:
        """Whether that resistor was measured near its nominal value, so that it is not to blame."""
        part = self.resistor(kind)
        if part is None or part.how != "measured" or not part.nominal_ohms:
            return False
        return abs(part.ohms / part.nominal_ohms - 1) <= NEAR_NOMINAL

    def bypass(self, kind: str) -> str | None:
        """The capacitor from an electrode to the bottom of the supply."""
        at = self.node(kind)
        return self.bypasses.get(at) if at else None

    @property
    def no_cathode_volts(self) -> bool:
        """Whether a cathode that should have volts has none."""
        row, volts = self.by_kind.get("cathode"), self.volts("cathode")
        expected = row.expected_volts if row else None
        return volts is not None and expected is not None and expected >= DRIVEN_VOLTS and abs(volts) < 0.1 * expected

    @property
    def conducts(self) -> bool:
        """Whether the drop across a cathode resistor shows that current flows."""
        return (self.volts("cathode") or 0.0) >= DRIVEN_VOLTS


def cases(found: Compared, record: Record, bench: Bench) -> Iterator[Case]:
    """Every tube that a run has readings of, in the record's order."""
    run = found.run
    parts = resistors(record, bench, run.date)
    coupled = couplings(record, bench, run.date)
    bypassed = bypasses(record, bench)
    volts = voltages(run, record)
    supply = _b_plus_volts(found, bench)
    for position in map(str, record.tubes):
        rows = tuple(row for row in found.rows if row.tube == position)
        tube = bench.tubes.get(position)
        if any(row.measured_qualifier for row in rows):
            role = (tube.role or "") if tube else ""
            yield Case(
                run.name, position, role, rows, coupled, parts, bypassed, volts, supply, _meter_loads(run)
            )  # fmt: skip


def _b_plus_volts(found: Compared, bench: Bench) -> float | None:
    """The highest direct voltage on a rail or a rectifier's cathode, where there is one worth the name."""
    read = [
        row.measured_volts
        for row in found.rows
        if row.current == "DC" and row.measured_volts is not None and _on_supply(row, bench)
    ]
    highest = max(read, default=0.0)
    return highest if highest >= LEAST_B_PLUS_VOLTS else None


def _on_supply(row: Row, bench: Bench) -> bool:
    tube = bench.tubes.get(row.tube)
    rectifies = tube is not None and "rectifier" in (tube.role or "") and row.spot.kind == "cathode"
    return row.spot.kind == RAIL or (rectifies and row.measured_qualifier == "exact")


def _meter_loads(run: Readings) -> bool:
    """Whether the meter is known to load a grid circuit so much that it stops an oscillator."""
    ohms = run.conditions.input_ohms
    return ohms is not None and ohms < METER_THAT_LOADS_OHMS
