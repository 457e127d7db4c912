"""The voltages that follow from the set's own circuit, each with the range it may lie in, without any sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from ...circuit.closed.closed_network import Closed, ClosedStage, Lacking, TakenAs, told_once
from ...circuit.closed.closing import close
from ...circuit.in_place import When
from ...circuit.places import CONTROL_GRIDS, Place, rail_order
from ...electrics.dc_elements import BOTTOM
from ...record.figures import to_figures
from ...record.place_words import B_MINUS, B_PLUS
from ...tubes import from_memory
from ...words import Words
from ..bench import Bench
from .rows import ReadingRow
from .runs import Conditions, Readings
from .signal_figures import DEVIATIONS, StageSignal, signal_figures

if TYPE_CHECKING:
    from ...electrics.dc_network import DcSolution

LEAST_SHARE = 0.01
"""No range is narrower: one standard deviation as a share of the value."""
LEAST_VOLTS = {"cathode": 0.2, "grid": 0.5}
LEAST_OTHER_VOLTS = 1.0
TOO_WIDE = 0.5
"""A range wider than this share of its value is told without a verdict."""
DISAGREES = 0.2
"""A sheet is told to disagree where its value lies outside the range and so far from the value: sheets say ±20 %."""

_PAGE: dict[str, Any] = {"json": False}


LEAST_HELD = 4
"""Readings that the circuit judges and that lie within, from which on no part is suspected. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """One place: volts, and the ends of the range. ``judged`` is False where the range is too wide to judge by.

    ``contact`` says that this is so because the tube's own grid current biases it. ``sheet_volts`` is what the sheet
    leads to expect under the same conditions, ``read_volts`` the newest reading; ``read_here`` says that it was taken
    at this very place, and not at one that is joined to it.
    """

    place: str
    volts: float
    low_volts: float
    high_volts: float
    judged: bool
    at: Place = field(default=Place("", ""), metadata=_PAGE)
    contact: bool = field(default=False, metadata=_PAGE)
    sheet_volts: float | None = field(default=None, metadata=_PAGE)
    read_volts: float | None = field(default=None, metadata=_PAGE)
    read_here: bool = field(default=False, metadata=_PAGE)

    @property
    def verdict(self) -> str:
        """``within``, ``low`` or ``high`` of the newest reading; empty where there is none, or it is not judged."""
        if self.read_volts is None or not self.judged:
            return ""
        return "low" if self.read_volts < self.low_volts else "high" if self.read_volts > self.high_volts else "within"

    @property
    def outside(self) -> bool:
        """Whether the newest reading lies outside the range."""
        return self.verdict in ("low", "high")

    @property
    def against_sheet(self) -> bool:
        """Whether the sheet and the circuit disagree here."""
        if self.sheet_volts is None or not self.judged:
            return False
        outside = not self.low_volts <= self.sheet_volts <= self.high_volts
        return outside and abs(self.sheet_volts - self.volts) > DISAGREES * abs(self.volts)


@dataclass(frozen=True, slots=True)
class FromTheCircuit:
    """All places that could be worked out, and how.

    ``conditions`` are line, meter and point. ``taken`` is what was taken for granted, ``lacks`` what keeps places from
    being worked out. ``points`` are the types with the source of their operating point, ``from_memory`` those types
    that no publication stands behind. ``signal`` is what each stage does to a small signal there.
    """

    conditions: Conditions
    places: tuple[WorkedOut, ...]
    taken: tuple[TakenAs, ...]
    lacks: tuple[Lacking, ...]
    points: tuple[tuple[str, str], ...]
    from_memory: tuple[str, ...]
    signal: tuple[StageSignal, ...] = ()

    def at(self, place: Place) -> WorkedOut | None:
        """What was worked out at a place, however it is written."""
        return next((one for one in self.places if one.at == place), None)

    @property
    def against_sheet(self) -> tuple[WorkedOut, ...]:
        """The places where the sheet and the circuit disagree."""
        return tuple(one for one in self.places if one.against_sheet)

    def taken_as(self, words: Words) -> tuple[str, ...]:
        """What was taken for granted, in sentences without their stops."""
        return told_once(self.taken, words)

    @property
    def rows(self) -> tuple[tuple[tuple[Place, ...], WorkedOut], ...]:
        """The places, those together that are alike in every number, as all on one rail are."""
        together: dict[WorkedOut, list[Place]] = {}
        for one in self.places:
            together.setdefault(replace(one, place="", at=Place("", ""), read_here=False), []).append(one.at)
        return tuple((tuple(places), one) for one, places in together.items())

    @property
    def confirms_sheet(self) -> bool:
        """Whether the sheet has a value for all that was worked out, grids aside, and nothing lies outside a range."""
        told = [one for one in self.places if one.at.electrode not in CONTROL_GRIDS]
        known = bool(told) and all(one.sheet_volts is not None for one in told)
        return known and not any(one.against_sheet or one.outside for one in self.places)

    @property
    def outside(self) -> tuple[WorkedOut, ...]:
        """The places without a published value whose newest reading lies outside; grids have a rule of their own."""
        return tuple(one for one in self._without_sheet if one.outside)

    @property
    def holds_all(self) -> bool:
        """Whether every newest reading lies in its range, be that too wide to judge by, and several in one that is not.

        What one of so many may be off by says nothing of a part.
        """
        read = [one for one in self.places if one.read_volts is not None and one.at.electrode != "osc grid"]
        inside = all(one.low_volts <= one.read_volts <= one.high_volts for one in read if one.read_volts is not None)
        return inside and sum(bool(one.verdict) for one in read) >= LEAST_HELD

    @property
    def judged(self) -> int:
        """How many readings without a published value were judged by the circuit."""
        return sum(bool(one.verdict) for one in self._without_sheet)

    @property
    def grids_read(self) -> bool:
        """Whether a grid was read that has a range here and that ``judged`` leaves to the rule of grids."""
        return any(one.verdict for one in self.places if one.sheet_volts is None and one.at.electrode in CONTROL_GRIDS)

    @property
    def _without_sheet(self) -> Iterator[WorkedOut]:
        """Each reading once: what was read at a rail is no reading of the filament that is joined to it."""
        left = [one for one in self.places if one.sheet_volts is None and one.at.electrode not in CONTROL_GRIDS]
        here = {_alike(one) for one in left if one.read_here}
        return (one for one in left if one.read_here or _alike(one) not in here)


def _alike(one: WorkedOut) -> tuple[float | None, ...]:
    return (one.volts, one.low_volts, one.high_volts, one.read_volts)


def from_the_circuit(
    bench: Bench, conditions: Conditions, run: Readings | None, rows: Iterable[ReadingRow]
) -> FromTheCircuit | None:
    """What the set's own circuit makes of its voltages under ``conditions``; None for a set without a stage.

    ``run`` is the newest list of measurements: its parts, its rails, its meter. ``rows`` hold its readings, and what a
    sheet leads to expect under the same conditions.
    """
    if not bench.circuit.network.stages:
        return None
    name = run.name if run else ""
    computed = close(bench.circuit, name, line_volts=conditions.line_volts)
    known = close(bench.circuit, name, line_volts=conditions.line_volts, known_rails=True)
    if known.net is None:
        return FromTheCircuit(conditions, (), (), known.lacks, (), ())
    rows = list(rows)
    solved = _solved(known)
    found = _given(known, solved, bench, conditions) | {
        place: one
        for place, one in _given(computed, _solved(computed), bench, conditions).items()
        if known.is_held_rail(place)
    }
    when: When = bench.circuit.day_of(name) if run else "now"
    places = tuple(_beside(found[place], rows, bench) for place in _order(found, bench))
    return FromTheCircuit(
        conditions,
        places,
        known.taken,
        known.lacks,
        tuple(dict.fromkeys((bench.tubes[s.stage.tube].type, s.point.source) for s in known.stages)),
        tuple(dict.fromkeys(bench.tubes[s.stage.tube].type for s in known.stages if from_memory(s.point.sources))),
        tuple(signal_figures(known, solved, bench, when)) if solved else (),
    )


def _solved(closed: Closed) -> DcSolution | None:
    """A closed network's solution with its slopes; None where it has none."""
    from ...electrics.dc_network import solve

    solved = solve(closed.net, slopes=True) if closed.net else None
    return solved if solved is not None and solved.converged[0] else None


def _given(closed: Closed, solved: DcSolution | None, bench: Bench, conditions: Conditions) -> dict[Place, WorkedOut]:
    """Every place of a closed network that is worked out; none where it has no solution."""
    if solved is None:
        return {}
    contact = {plate for s in closed.stages if s.contact for plate in s.stage.plates}
    return {
        place: _ranged(place, closed, solved, conditions, contact=place in contact)
        for place in _places(closed, bench)
        if closed.is_given(place)
    }


def _places(closed: Closed, bench: Bench) -> Iterator[Place]:
    """The electrodes of the stages that are in, the rails and what is joined to them, and points that were read."""
    for stage in closed.stages:
        yield from _electrodes(stage)
    network = bench.circuit.network
    for point in [p for p in closed.nodes if p.kind == B_PLUS or p.tube]:
        yield from (at for at in network.joined_to(point) if at.kind == B_PLUS)
    read = {at for volts in bench.circuit.direct_volts.values() for at in volts}
    own = [p for p in closed.nodes if not p.tube and p.kind in ("", B_MINUS)]
    yield from (p for p in own if p in read and closed.node(p) not in (BOTTOM, closed.reference))


def _electrodes(closed: ClosedStage) -> Iterator[Place]:
    stage = closed.stage
    yield from (stage.cathode,) if stage.cathode else ()
    yield from (grid for grid in stage.grids[:1] if not closed.converter and grid.electrode == "grid")
    yield from (*stage.screens[:1], *stage.plates[:1])


def _ranged(place: Place, closed: Closed, solved: DcSolution, conditions: Conditions, *, contact: bool) -> WorkedOut:
    node = closed.node(place)
    assert node is not None
    meter = conditions.input_ohms
    shown = float(solved.meter_share(node, meter)[0]) if meter else 1.0
    volts = float(solved.volts[0, node] - solved.volts[0, closed.reference]) * shown
    slopes = (solved.slopes[0, node] - solved.slopes[0, closed.reference]) * shown
    deviation = max(float((slopes**2).sum()) ** 0.5, LEAST_SHARE * abs(volts))
    kind = "grid" if place.electrode in CONTROL_GRIDS else place.electrode if place.kind != B_PLUS else ""
    least = LEAST_VOLTS.get(kind, LEAST_OTHER_VOLTS)
    half = max(DEVIATIONS * deviation, least)
    told = _meant(volts, 2)  # what floats leave of nothing has a sign by chance
    may_be_below = kind == "grid" or place.kind == B_MINUS or told < 0
    low = volts - half if may_be_below else max(volts - half, 0.0)
    judged = half == least or (not contact and volts + half - low <= TOO_WIDE * abs(volts))
    return WorkedOut(place.name(), told, _meant(low, 1), _meant(volts + half, 1), judged, place, contact and not judged)


def _meant(volts: float, places: int) -> float:
    """Three figures, and below a volt so many decimal places; no zero has a sign."""
    return to_figures(round(volts, places) if abs(volts) < 1 else volts) + 0.0


def _order(found: Mapping[Place, WorkedOut], bench: Bench) -> Sequence[Place]:
    """The places tube by tube in the record's order, then the rails."""
    order = {position: n for n, position in enumerate(bench.circuit.places.positions)}
    looks = ("cathode", "grid", "osc grid", "screen", "plate")

    def key(place: Place) -> tuple[int, int, int, tuple[bool, list[int | str]]]:
        look = looks.index(place.electrode) if place.electrode in looks else len(looks)
        return order.get(place.tube, len(order)), place.section, look, rail_order(place)

    return sorted(found, key=key)


def _beside(one: WorkedOut, rows: Sequence[ReadingRow], bench: Bench) -> WorkedOut:
    """A place with what was read there, and what a sheet leads to expect."""
    network = bench.circuit.network
    here = [row for row in rows if row.current == "DC" and network.same(row.spot.place, one.at)]
    sheet = next((row.adjusted_volts for row in here if row.adjusted_volts is not None), None)
    read = next((row.measured_volts for row in here if row.measured_volts is not None and not row.as_typed), None)
    read_here = any(row.spot.place == one.at for row in here)
    return replace(one, sheet_volts=sheet, read_volts=read, read_here=read_here)
