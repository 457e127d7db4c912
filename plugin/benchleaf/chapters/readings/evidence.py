"""One tube's readings in one run with what the parts list has around it: what the rules look at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from ...circuit.elements import CAPACITOR
from ...circuit.in_place import in_place
from ...circuit.places import Place
from ...circuit.resistors import ResistorInPlace, resistors
from .comparison import ComparedRun
from .judging import POSITIVE_GRID
from .rows import ReadingRow
from .runs import Readings
from .spots import RAIL
from .volts import voltages

if TYPE_CHECKING:
    from ...circuit.network import Coupling, Network
    from ..bench import Bench

NEXT_TO_NOTHING = 0.05
"""Share of B+ below which a plate or screen has no voltage to speak of. Common practice, no source."""

LEAST_B_PLUS_VOLTS = 20.0
"""What is called B+ being there. Common practice, no source."""

DRIVEN_VOLTS = 0.5
"""A cathode published at this or more has a resistor that makes it. Common practice, no source."""

METER_THAT_LOADS_OHMS = 1e6
TIGHT_OHMS = 1e9
"""A capacitor measured at this much or more puts less than 0.1 V on a grid leak of 0.5 megohm at 200 V."""
NEAR_NOMINAL = 0.2


@dataclass(frozen=True)
class Evidence:
    """One tube, or one rail (``rail``), with what the parts list has around it and what the rest of the set shows.

    ``b_plus_volts`` is the highest direct voltage that the run reads on a supply rail, ``b_plus_verdict`` the verdict
    for it. ``tight`` names the capacitors that were measured and do not leak. ``positive_grids`` are all control grids
    that are positive. ``heavy`` and ``light`` say that
    another tube of the set draws too much, or too little.
    """

    run: str
    tube: str
    role: str
    rows: tuple[ReadingRow, ...]
    network: Network
    parts: tuple[ResistorInPlace, ...]
    tight: frozenset[str]
    volts_at: Mapping[Place, float]
    b_plus_volts: float | None
    b_plus_verdict: str
    meter_loads: bool
    positive_grids: frozenset[Place] = frozenset()
    heavy: bool = False
    light: bool = False
    rail: bool = False

    @cached_property
    def by_kind(self) -> dict[str, ReadingRow]:
        """The first section's row of each kind that was read, DC only."""
        found: dict[str, ReadingRow] = {}
        for row in self.rows:
            if row.current == "DC" and row.measured_qualifier:
                kind = "osc plate" if row.spot.kind == "plate" and row.spot.section else row.spot.kind
                if row.spot.section == 0 or kind.startswith("osc"):
                    found.setdefault(kind, row)
        return found

    def volts(self, kind: str) -> float | None:
        """The reading of one electrode in volts, where it is a number and not a bound."""
        row = self.by_kind.get(kind)
        return row.measured_volts if row and row.measured_qualifier in ("exact", "approx", "tolerance") else None

    def expected(self, kind: str) -> float | None:
        """What is expected at one electrode here, in volts."""
        row = self.by_kind.get(kind)
        return row.adjusted_volts if row else None

    def state(self, kind: str) -> str:
        """The verdict for one electrode, beside the set's own B+ where that is known; empty where it was not read."""
        row = self.by_kind.get(kind)
        return (row.normalised_verdict or row.verdict) if row else ""

    def point(self, kind: str) -> Place | None:
        """The point of an electrode or rail; None where it was not read, or the electrode is wired to a rail."""
        row = self.by_kind.get(kind)
        point = self.network.point(row.spot.place) if row else None
        return point if self.rail or (point and point.tube) else None

    @property
    def positive_grid(self) -> ReadingRow | None:
        return next((row for row in self.rows if row.verdict == POSITIVE_GRID), None)

    @property
    def coupling(self) -> Coupling | None:
        """The capacitor that leads to the positive grid."""
        row = self.positive_grid
        return next((c for c in self.network.couplings if row and c.grid == row.spot.place), None)

    @property
    def coupling_onward(self) -> Coupling | None:
        """The capacitor that leads from this tube's plate to another grid."""
        row = self.by_kind.get("plate")
        return next((c for c in self.network.couplings if row and c.plate == row.spot.place), None)

    @property
    def is_output(self) -> bool:
        return "output" in self.role

    @property
    def is_triode(self) -> bool:
        return "triode" in self.role and "screen" not in self.by_kind

    @property
    def is_rectifier(self) -> bool:
        return "rectifier" in self.role and not self.is_output

    @property
    def resistor_fed(self) -> bool:
        """Whether the plate is fed through a resistor, where more current means less plate voltage."""
        return not self.is_output and not self.is_rectifier and (bool(self.resistor("plate")) or self.is_triode)

    def dead(self, kind: str) -> bool | None:
        """Whether an electrode has next to nothing while B+ is there; None where that is not known."""
        volts, supply = self.volts(kind), self.b_plus_volts
        return None if volts is None or supply is None else abs(volts) < NEXT_TO_NOTHING * supply

    def resistor(self, kind: str) -> ResistorInPlace | None:
        """The only resistor at an electrode."""
        at = self.point(kind)
        found = [part for part in self.parts if at and at in part.ends]
        if self.rail and at:
            found = [part for part in found if self._feeds(part, at)]
        return found[0] if len(found) == 1 else None

    def _feeds(self, part: ResistorInPlace, rail: Place) -> bool:
        """Whether a resistor comes from a higher rail, so that what it passes is this rail's."""
        other, here = self.volts_at.get(part.other(rail)), self.volts_at.get(rail)
        return not part.other(rail).tube and other is not None and here is not None and other > here

    def resistor_is(self, kind: str) -> str:
        """``sound``, ``high`` or ``low`` of a measured resistor; ``unmeasured``, or empty where none is named."""
        part = self.resistor(kind)
        if part is None:
            return ""
        if part.how != "measured" or not part.nominal_ohms:
            return "unmeasured"
        off = part.ohms / part.nominal_ohms - 1
        return "sound" if abs(off) <= NEAR_NOMINAL else "high" if off > 0 else "low"

    def bypass(self, kind: str) -> str | None:
        """The capacitor from an electrode to the bottom of the supply."""
        at = self.point(kind)
        return next((element.name for element in self.network.to_common(at, CAPACITOR)), None) if at else None

    @property
    def cathode_zero(self) -> bool | None:
        """Whether a cathode that should have volts has none; None where that is not known."""
        row, volts = self.by_kind.get("cathode"), self.volts("cathode")
        expected = row.expected_volts if row else None
        if volts is None or expected is None:
            return None
        return expected >= DRIVEN_VOLTS and abs(volts) < 0.1 * expected


def evidence_of(found: ComparedRun, bench: Bench) -> Iterator[Evidence]:
    """Every tube that a run has readings of, in the record's order, then every rail."""
    record = bench.record
    run = found.run
    supply, verdict = _b_plus_volts(found, bench), _b_plus_verdict(found)
    network = bench.circuit.network
    positive = frozenset(row.spot.place for row in found.rows if row.verdict == POSITIVE_GRID)
    parts = resistors(bench.circuit, run.date, bench.dialect)
    tight = frozenset(e.name for e in network.elements if in_place(e.listed, run.date).insulates(TIGHT_OHMS))
    volts, loads = voltages(run, network), _meter_loads(run)

    def seen(name: str, role: str, rows: tuple[ReadingRow, ...], *, rail: bool) -> Evidence:
        others = [
            row for row in found.rows if row.spot.kind == "cathode" and row.tube != name and row.measured_qualifier
        ]
        states = [row.normalised_verdict or row.verdict for row in others if not _rectifies(row, bench)]
        return Evidence(
            run=run.name,
            tube=name,
            role=role,
            rows=rows,
            network=network,
            parts=parts,
            tight=tight,
            volts_at=volts,
            b_plus_volts=supply,
            b_plus_verdict=verdict,
            meter_loads=loads,
            positive_grids=positive,
            heavy="high" in states or bool(positive),
            light="low" in states,
            rail=rail,
        )

    positions = [str(position) for position in record.tubes]
    for position in positions:
        rows = tuple(row for row in found.rows if row.tube == position)
        tube = bench.tubes.get(position)
        if any(row.measured_qualifier for row in rows):
            yield seen(position, (tube.role or "") if tube else "", rows, rail=False)
    for name in dict.fromkeys(row.tube for row in found.rows if row.spot.kind == RAIL and row.tube not in positions):
        rows = tuple(row for row in found.rows if row.tube == name)
        if any(row.measured_qualifier for row in rows):
            yield seen(name, "", rows, rail=True)


def _rectifies(row: ReadingRow, bench: Bench) -> bool:
    tube = bench.tubes.get(row.tube)
    return tube is not None and "rectifier" in (tube.role or "")


def _b_plus_verdict(found: ComparedRun) -> str:
    if found.b_plus is None:
        return ""
    return next((row.verdict for row in found.rows if found.b_plus.is_at(row.spot)), "")


def _b_plus_volts(found: ComparedRun, bench: Bench) -> float | None:
    """The highest direct voltage on a rail or a rectifier's cathode, where there is one worth the name."""
    read = [
        row.measured_volts
        for row in found.rows
        if row.current == "DC" and row.measured_volts is not None and _on_supply(row, bench)
    ]
    highest = max(read, default=0.0)
    return highest if highest >= LEAST_B_PLUS_VOLTS else None


def _on_supply(row: ReadingRow, bench: Bench) -> bool:
    tube = bench.tubes.get(row.tube)
    rectifies = tube is not None and "rectifier" in (tube.role or "") and row.spot.kind == "cathode"
    return row.spot.kind == RAIL or (rectifies and row.measured_qualifier == "exact")


def _meter_loads(run: Readings) -> bool:
    """Whether the meter is known to load a grid circuit so much that it stops an oscillator."""
    ohms = run.conditions.input_ohms
    return ohms is not None and ohms < METER_THAT_LOADS_OHMS
