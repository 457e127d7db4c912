"""One tube's readings in one run with what the parts list has around it: what the rules look at."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import TYPE_CHECKING

from ...circuit.elements import CAPACITOR, RESISTOR, WINDING
from ...circuit.in_place import in_place
from ...circuit.places import Place
from ...circuit.resistors import ResistorInPlace
from ...circuit.supposed_faults.seen_by_meters import TIGHT_OHMS
from ...electrics.colours import UNMARKED_TOLERANCE
from .comparison import ComparedRun
from .judging import POSITIVE_GRID
from .rows import ReadingRow
from .runs import Readings
from .spots import RAIL
from .volts import voltages

if TYPE_CHECKING:
    from ...circuit.network import Coupling, Network
    from ...circuit.stages import Stage
    from ...tubes import Tube
    from ..bench import Bench

NEXT_TO_NOTHING = 0.05
"""Share of B+ below which a plate or screen has no voltage to speak of. Common practice, no source."""

LEAST_B_PLUS_VOLTS = 20.0
"""What is called B+ being there. Common practice, no source."""

DRIVEN_VOLTS = 0.5
"""A cathode published at this or more has a resistor that makes it. Common practice, no source."""

METER_THAT_LOADS_OHMS = 1e6


DRAWN_SHARE = 0.25
"""Of what a plate lacks: less does not pull it down. Common practice, no source."""


@dataclass(frozen=True)
class Evidence:
    """One section of a tube, or one rail (``rail``), with what the parts list has around it and what the set shows.

    ``b_plus_volts`` is the highest direct voltage that the run reads on a supply rail. ``b_plus_verdict`` is that of
    the B+ that all is held in proportion to, ``b_plus_at`` its point, ``b_plus_share`` what it is of the expected.
    ``volts_at`` and ``expected_at`` are what is read and expected at each place. ``tight`` names the capacitors that
    were measured and do not leak. ``positive_grids`` are all control grids that are positive, ``others`` the rows of
    the set's other tubes and rails. ``mu`` is the published amplification factor of plate (triode) or screen to grid.
    ``heavy`` and ``light`` say that another tube of the set draws too much, or too little.
    """

    run: str
    tube: str
    role: str
    rows: tuple[ReadingRow, ...]
    network: Network
    parts: tuple[ResistorInPlace, ...]
    tight: frozenset[str]
    volts_at: Mapping[Place, float]
    expected_at: Mapping[Place, float]
    b_plus_volts: float | None
    b_plus_verdict: str
    b_plus_at: Place | None
    b_plus_share: float | None
    meter_loads: bool
    line_written: bool
    positive_grids: frozenset[Place] = frozenset()
    others: tuple[ReadingRow, ...] = ()
    heavy: bool = False
    light: bool = False
    rail: bool = False
    section: int = 0
    stage: Stage | None = None
    mu: float | None = None

    @cached_property
    def by_kind(self) -> dict[str, ReadingRow]:
        """The section's row of each kind that was read, DC only; a converter's has its oscillator's too."""
        found: dict[str, ReadingRow] = {}
        for row in self.rows:
            if row.current == "DC" and row.measured_qualifier:
                own, kind = row.spot.section == self.section, row.spot.kind
                if own or kind == "osc grid":
                    found.setdefault(kind, row)
                elif self.converts and kind == "plate":
                    found.setdefault("osc plate", row)
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
        """The point of an electrode or rail; None where it is not known, or the electrode is wired to a rail."""
        row = self.by_kind.get(kind)
        place = row.spot.place if row else self._of_stage(kind)
        point = self.network.point(place) if place else None
        return point if self.rail or (point and point.tube) else None

    def _of_stage(self, kind: str) -> Place | None:
        """The electrode of the tube's section that was not read."""
        if self.stage is None:
            return None
        places = {"plate": self.stage.plates, "screen": self.stage.screens, "grid": self.stage.grids}
        cathode = (self.stage.cathode,) if self.stage.cathode else ()
        return next(iter(places.get(kind, cathode if kind == "cathode" else ())), None)

    @cached_property
    def shares_of_others(self) -> tuple[tuple[float, ...], ...]:
        """What plates and screens of each other tube read over what is expected there."""
        found: dict[str, tuple[float, ...]] = {}
        for row in self.others:
            fed = row.current == "DC" and row.spot.kind in ("plate", "screen")
            if fed and row.measured_volts and row.adjusted_volts:
                found[row.tube] = (*found.get(row.tube, ()), row.measured_volts / row.adjusted_volts)
        return tuple(found.values())

    @property
    def positive_grid(self) -> ReadingRow | None:
        rows = (row for row in self.rows if row.spot.section == self.section or self.converts)
        return next((row for row in rows if row.verdict == POSITIVE_GRID), None)

    @property
    def coupling(self) -> Coupling | None:
        """The capacitor that leads to the positive grid."""
        row = self.positive_grid
        return next((c for c in self.network.couplings if row and c.grid == row.spot.place), None)

    @property
    def coupling_onward(self) -> Coupling | None:
        """The capacitor that leads from this tube's plate to another grid."""
        row = self.by_kind.get("plate")
        place = row.spot.place if row else self._of_stage("plate")
        return next((c for c in self.network.couplings if place and c.plate == place), None)

    @property
    def is_output(self) -> bool:
        return "output" in self.role and not self.section

    @property
    def is_triode(self) -> bool:
        """Whether the plate alone pulls the current: the type has no screen there, as far as it is known."""
        has_screen = bool(self.stage.screens) if self.stage else "screen" in self.by_kind
        return "triode" in self.role and not has_screen

    @property
    def is_rectifier(self) -> bool:
        return "rectifier" in self.role and "output" not in self.role

    @property
    def converts(self) -> bool:
        return "converter" in self.role or "mixer" in self.role

    @property
    def amplifies(self) -> bool:
        """Whether it is a section with a plate current that its grid and cathode rule; an unknown type may be."""
        return not (self.rail or self.is_rectifier or re.search(r"indicator|regulator|twin diode", self.role))

    @property
    def feed(self) -> str:
        """``resistor`` or ``winding`` where it is known what feeds the plate; empty where it is not."""
        at = self.point("plate")
        kinds = {element.kind for element in self.network.feeds(at)} if at else set()
        if RESISTOR in kinds:
            return RESISTOR
        if WINDING in kinds or self.is_output:
            return WINDING
        return RESISTOR if self.is_triode else ""

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
        return "sound" if abs(off) <= UNMARKED_TOLERANCE else "high" if off > 0 else "low"

    def bypass(self, kind: str) -> str | None:
        """The capacitor from an electrode to the bottom of the supply."""
        at = self.point(kind)
        return next((element.name for element in self.network.to_common(at, CAPACITOR)), None) if at else None

    @property
    def coupling_draws(self) -> bool:
        """Whether what comes through to the next grid, its volts over its leak, may be behind what the plate lacks."""
        onward, row = self.coupling_onward, self.by_kind.get("plate")
        if onward is None or row is None or row.expected_volts is None or row.measured_volts is None:
            return onward is not None
        grid, load = self.volts_at.get(onward.grid), self.resistor("plate")
        leaks = [part.ohms for part in self.parts if onward.grid in part.ends]
        if grid is None or load is None or len(leaks) != 1 or not leaks[0]:
            return True
        return abs(grid) / leaks[0] * load.ohms >= DRAWN_SHARE * (row.expected_volts - row.measured_volts)

    @property
    def plate_capacitor(self) -> str | None:
        """A capacitor at the plate that may draw on it: to the bottom of the supply, or on to a grid."""
        onward = self.coupling_onward if self.coupling_draws else None
        both = (self.bypass("plate"), onward.element.name if onward else None)
        return next((name for name in both if name and name not in self.tight), None)

    @property
    def cathode_zero(self) -> bool | None:
        """Whether a cathode that should have volts has none; None where that is not known."""
        row, volts = self.by_kind.get("cathode"), self.volts("cathode")
        expected = row.expected_volts if row else None
        if volts is None or expected is None:
            return None
        return expected >= DRIVEN_VOLTS and abs(volts) < 0.1 * expected


def evidence_of(found: ComparedRun, bench: Bench) -> Iterator[Evidence]:
    """Every section of a tube that a run has readings of, in the record's order, then every rail."""
    run, network = found.run, bench.circuit.network
    of_set = partial(
        Evidence,
        run=run.name,
        network=network,
        parts=bench.circuit.resistors(run.when, bench.words),
        tight=frozenset(
            e.name for e in network.elements if in_place(e.listed, run.when).insulates(TIGHT_OHMS["paper"])
        ),
        volts_at=voltages(run, network),
        expected_at=_expected(found, network),
        b_plus_volts=_b_plus_volts(found, bench),
        b_plus_verdict=_b_plus_verdict(found),
        b_plus_at=_b_plus_at(found, network),
        b_plus_share=found.b_plus.ratio if found.b_plus else None,
        meter_loads=_meter_loads(run),
        line_written=run.conditions.line_from == "the list",
        positive_grids=frozenset(row.spot.place for row in found.rows if row.verdict == POSITIVE_GRID),
    )
    by_tube: dict[str, tuple[ReadingRow, ...]] = {}
    for row in found.rows:
        by_tube[row.tube] = (*by_tube.get(row.tube, ()), row)
    for position in map(str, bench.record.tubes):
        rows, tube = by_tube.pop(position, ()), bench.tubes.get(position)
        role = (tube.role or "") if tube else ""
        others = tuple(row for row in found.rows if row.tube != position)
        for section in _sections(rows, role):
            stage = next((s for s in network.stages if s.tube == position and _is_section(s, section, bench)), None)
            of_tube = of_set(tube=position, role=role, rows=rows, others=others)
            yield replace(of_tube, section=section, stage=stage, mu=_mu(stage, tube))
    for name, rows in by_tube.items():
        if any(row.measured_qualifier and row.spot.kind == RAIL for row in rows):
            others = tuple(row for row in found.rows if row.tube != name)
            yield of_set(tube=name, role="", rows=rows, others=others, rail=True)


def _sections(rows: Sequence[ReadingRow], role: str) -> list[int]:
    """The sections of a tube that were read; a converter's oscillator goes with its mixer, a rectifier is one."""
    read = [row for row in rows if row.measured_qualifier]
    if not read:
        return []
    whole = "converter" in role or "rectifier" in role
    others = {row.spot.section for row in read if row.spot.kind in ("plate", "grid", "cathode")}
    return [0] if whole else [0, *sorted(others - {0})]


def _mu(stage: Stage | None, tube: Tube | None) -> float | None:
    """The first amplification factor that the table has for a section."""
    if stage is None or tube is None:
        return None
    return next((t.mu for t in tube.typical if t.mu and (not t.section or stage.section.endswith(t.section))), None)


def _is_section(stage: Stage, number: int, bench: Bench) -> bool:
    tube = bench.tubes.get(stage.tube)
    return tube is not None and number < len(tube.sections) and tube.sections[number].name == stage.section


def _expected(found: ComparedRun, network: Network) -> dict[Place, float]:
    """What is expected at each point, in volts; a rail's own value before that of an electrode joined to it."""
    rows = sorted(found.rows, key=lambda row: row.spot.kind != RAIL)
    told: dict[Place, float] = {}
    for row in rows:
        if row.current == "DC" and not row.pin and row.adjusted_volts is not None:
            told.setdefault(network.point(row.spot.place), row.adjusted_volts)
    return {place: volts for point, volts in told.items() for place in network.joined_to(point)}


def _b_plus_at(found: ComparedRun, network: Network) -> Place | None:
    rows = (row for row in found.rows if found.b_plus and found.b_plus.is_at(row.spot))
    return next((network.point(row.spot.place) for row in rows), None)


def _b_plus_verdict(found: ComparedRun) -> str:
    if found.b_plus is None:
        return ""
    return next((row.verdict for row in found.rows if found.b_plus.is_at(row.spot)), "")


def _b_plus_volts(found: ComparedRun, bench: Bench) -> float | None:
    """The highest direct voltage on a rail or a rectifier's cathode, where there is one worth the name."""
    direct = (row for row in found.rows if row.current == "DC" and _on_supply(row, bench))
    highest = max((row.measured_volts for row in direct if row.measured_volts is not None), default=0.0)
    return highest if highest >= LEAST_B_PLUS_VOLTS else None


def _on_supply(row: ReadingRow, bench: Bench) -> bool:
    tube = bench.tubes.get(row.tube)
    rectifies = tube is not None and "rectifier" in (tube.role or "") and row.spot.kind == "cathode"
    return row.spot.kind == RAIL or (rectifies and row.measured_qualifier == "exact")


def _meter_loads(run: Readings) -> bool:
    """Whether the meter, or the one written beside its grid, is known to load an oscillator so that it stops."""
    own = [value.conditions for value in run.values if value.spot.kind == "osc grid" and value.conditions]
    ohms = [one.input_ohms for one in own or [run.conditions]]
    return any(one is not None and one < METER_THAT_LOADS_OHMS for one in ohms)
