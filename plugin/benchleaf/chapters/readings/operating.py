"""The operating point of each stage, from the readings of one run and the resistors of the parts list."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from ...circuit.places import Place
from ...circuit.stages import Stage, maxima_of
from ...tubes import grade
from .read_stages import stages
from .resistors import ResistorInPlace, Through, into, resistors, through, voltages
from .runs import Readings

if TYPE_CHECKING:
    from ...circuit.network import Network
    from ...record.model import Record
    from ...tubes import Rated, Tube
    from ..bench import Bench

SHARE_RANGE = (0.5, 2.0)
"""A screen share taken from a tube's published operation may be half or twice as large at another plate voltage or
signal: sheets of the EL84 (Philips, 1953-1955) have 10 % at no signal and 18 % at full output."""

AGREE = 0.1
"""Currents that should be one agree within 10 %: two measured resistors and two readings allow that much. Common
practice, no source."""

LEAST_FED_VOLTS = 10.0
"""Below this a plate or screen takes no share of the cathode current worth the name. Common practice, no source."""

_SAME_READING = 0.01
_PAGE = {"json": False}


@dataclass(frozen=True, slots=True)
class Operating:
    """One stage's currents in amperes and dissipations in watts; None where they cannot be known.

    ``cathode_by``, ``plate_by`` and ``screen_by`` say how a current came about: ``resistor``, ``sum``, ``difference``,
    ``cathode`` (all of the cathode's) or ``assumed share``. ``low`` and ``high`` are ends where a share was assumed.
    ``sum_over_cathode`` is plate and screen current over cathode current, where all three were found independently.
    """

    cathode_amps: float | None = None
    plate_amps: float | None = None
    screen_amps: float | None = None
    plate_watts: float | None = None
    screen_watts: float | None = None
    run: str = ""
    tube: str = ""
    section: str = ""
    cathode_by: str = ""
    plate_by: str = ""
    screen_by: str = ""
    plate_to_cathode_volts: float | None = None
    screen_to_cathode_volts: float | None = None
    plate_amps_low: float | None = None
    plate_amps_high: float | None = None
    plate_watts_low: float | None = None
    plate_watts_high: float | None = None
    screen_share: float | None = None
    screen_share_source: str = ""
    sharing_cathode: int = 1
    max_plate_watts: float | None = None
    max_plate_watts_source: str = ""
    max_screen_watts: float | None = None
    max_screen_watts_source: str = ""
    sum_over_cathode: float | None = None
    through: tuple[Through, ...] = field(default=(), metadata=_PAGE)
    lacks: tuple[str, ...] = field(default=(), metadata=_PAGE)

    @property
    def plate_over(self) -> bool | None:
        """Whether the plate turns more into heat than its rating; None where it depends on what was assumed."""
        return _over(self.max_plate_watts, self.plate_watts, self.plate_watts_low, self.plate_watts_high)

    @property
    def screen_over(self) -> bool | None:
        known = self.screen_watts if self.screen_by != "assumed share" else None
        return _over(self.max_screen_watts, known, None, None)

    @property
    def disagrees(self) -> bool:
        return self.sum_over_cathode is not None and abs(self.sum_over_cathode - 1) > AGREE


def _over(most: float | None, watts: float | None, low: float | None, high: float | None) -> bool | None:
    if most is None or watts is None:
        return None
    if low is None or high is None:
        return watts > most
    return None if low <= most < high else low > most


@dataclass(frozen=True, slots=True)
class _Circuit:
    """What one run and the parts list know."""

    parts: tuple[ResistorInPlace, ...]
    volts: Mapping[Place, float]
    network: Network

    def into(self, places: Sequence[Place]) -> tuple[Through, ...] | None:
        """All currents into one electrode that has its point for itself."""
        if len(places) != 1 or not self.network.stands_alone(places[0]):
            return None
        return into(places[0], self.parts, self.volts, self.network)

    def into_cathode(self, cathode: Place, record: Record) -> tuple[Through, ...] | None:
        """All currents into a cathode's point; of joined cathodes only where their tubes are of one type."""
        joined = self.network.joined_to(cathode)
        types = {_type_at(at.tube, record) for at in joined}
        if len(types) > 1 or any(at.electrode != "cathode" for at in joined):
            return None
        return into(cathode, self.parts, self.volts, self.network)


def operating(run: Readings, bench: Bench) -> dict[str, Operating]:
    """Every stage of which a run and the parts tell a current, by the name of its stage."""
    record, network = bench.record, bench.circuit.network
    circuit = _Circuit(resistors(bench, run.date), voltages(run, network), network)
    found = {}
    for stage in stages(run, network):
        point = _stage(stage, circuit, bench.tubes.get(stage.tube), record)
        if point is not None:
            found[stage.name] = replace(point, run=run.name, tube=stage.tube, section=stage.section)
    return found


def drains(run: Readings, bench: Bench) -> tuple[Through, ...]:
    """The direct current in each resistor between two supply rails, from the higher to the lower."""
    volts = voltages(run, bench.circuit.network)
    rectifiers = {p for p, t in bench.tubes.items() if "rectifier" in (t.role or "")}

    def rail(point: Place) -> bool:
        return (not point.tube or point.tube in rectifiers) and volts.get(point, 0.0) > 0

    found = []
    for part in resistors(bench, run.date):
        if not part.bound and all(map(rail, part.ends)):
            start = max(part.ends, key=lambda node: volts[node])
            found.append(through(part, start, volts))
    return tuple(found)


def _stage(stage: Stage, circuit: _Circuit, tube: Tube | None, record: Record) -> Operating | None:
    from_cathode = circuit.into_cathode(stage.cathode, record) if stage.cathode else None
    if from_cathode is not None:
        from_cathode = tuple(step.reversed() for step in from_cathode)
    to_plate, to_screen = circuit.into(stage.plates), circuit.into(stage.screens)
    if to_screen is not None and _feeds_others(stage, circuit):
        to_screen = None
    if from_cathode is to_plate is to_screen is None:
        return None
    beside = [circuit.into((node,)) for node in stage.beside]
    steps = tuple(step for found in (from_cathode, to_plate, to_screen, *beside) for step in found or ())
    point = Operating(through=steps)
    if backwards := [step.part for step in steps if step.amps < 0]:
        lacks = f"the readings at the two ends of {' and '.join(backwards)} contradict each other: one of them is wrong"
        return replace(point, lacks=(lacks,))
    sharing = _sharing_cathode(stage, circuit, record) if from_cathode is not None else 1
    cathode = _total(from_cathode) / sharing if from_cathode is not None else None
    others = math.fsum(_total(one) for one in beside if one is not None) if None not in beside else None
    point = replace(point, sharing_cathode=sharing)
    point = _currents(point, stage, cathode, _maybe(to_plate), _maybe(to_screen), others)
    if point.plate_amps is None and point.screen_amps is None and cathode is not None and others is not None:
        point = _by_share(point, stage, cathode - others, tube, circuit.volts)
    return _ratings(_watts(point, stage, circuit.volts), stage, tube)


def _total(steps: Sequence[Through]) -> float:
    return math.fsum(step.amps for step in steps)


def _maybe(steps: Sequence[Through] | None) -> float | None:
    return None if steps is None else _total(steps)


def _feeds_others(stage: Stage, circuit: _Circuit) -> bool:
    """Whether another tube's screen hangs on this one's resistor: it reads the same and has none of its own."""
    return bool(stage.screens and _hanging_on(stage.screens[0], circuit))


def _hanging_on(place: Place, circuit: _Circuit) -> list[Place]:
    """Electrodes of other tubes of the same key that are wired to ``place``, or read the same and have no resistor."""
    here = circuit.volts.get(place)
    if not here:
        return []
    return [
        other
        for other, volts in circuit.volts.items()
        if other.tube not in ("", place.tube)
        and other.key == place.key
        and (circuit.network.same(other, place) or _reads_the_same(other, volts, here, circuit))
    ]


def _reads_the_same(other: Place, volts: float, here: float, circuit: _Circuit) -> bool:
    fed = any(circuit.network.point(other) in part.ends for part in circuit.parts)
    return not fed and math.isclose(volts, here, rel_tol=_SAME_READING)


def _sharing_cathode(stage: Stage, circuit: _Circuit, record: Record) -> int:
    """How many tubes of this type stand on one cathode resistor."""
    if stage.cathode is None:
        return 1
    own = _type_at(stage.tube, record)
    return 1 + sum(_type_at(at.tube, record) == own for at in _hanging_on(stage.cathode, circuit))


def _type_at(position: str, record: Record) -> str:
    return next((str(t.type).casefold() for p, t in record.tubes.items() if p == position), "")


def _currents(
    point: Operating,
    stage: Stage,
    cathode: float | None,
    plate: float | None,
    screen: float | None,
    others: float | None,
) -> Operating:
    """Cathode = plate + screen + what other sections take from it (Kirchhoff); what is missing follows where it can."""
    point = replace(
        point,
        cathode_amps=cathode,
        plate_amps=plate,
        screen_amps=screen,
        cathode_by="resistor" if cathode is not None else "",
        plate_by="resistor" if plate is not None else "",
        screen_by="resistor" if screen is not None else "",
    )
    no_screen = stage.certain and not stage.screens
    if others is None:
        return replace(point, lacks=("another section on the same cathode has no known current",))
    screen = 0.0 if no_screen else screen
    if plate is not None and screen is not None:
        total = plate + screen + others
        if cathode is None:
            return replace(point, cathode_amps=total, cathode_by="sum")
        return replace(point, sum_over_cathode=total / cathode if cathode > 0 else None)
    left = None if cathode is None else cathode - others
    if left is not None and screen is not None and left >= screen:
        return replace(point, plate_amps=left - screen, plate_by="cathode" if no_screen else "difference")
    if left is not None and plate is not None and left >= plate:
        return replace(point, screen_amps=left - plate, screen_by="difference")
    return point


def _by_share(
    point: Operating, stage: Stage, left: float, tube: Tube | None, volts: Mapping[Place, float]
) -> Operating:
    """Plate and screen current by the screen's share of the tube's typical operation."""
    shares = [
        (t.screen_amps / (t.plate_amps + t.screen_amps), t.source)
        for t in (tube.typical if tube else ())
        if t.plate_amps and t.screen_amps and (not t.section or stage.section.endswith(t.section))
    ]
    if not shares:
        lacks = "the table has no typical screen current for this type" if stage.certain else "the type is not known"
        return replace(point, lacks=(lacks,))
    fed = [volts[node] for node in (*stage.plates, *stage.screens) if node in volts]
    if any(volt < LEAST_FED_VOLTS for volt in fed):
        return replace(point, lacks=("plate or screen has next to no voltage, so a usual share does not hold",))
    share, source = shares[0]
    least, most = SHARE_RANGE[0] * min(s for s, _ in shares), min(0.9, SHARE_RANGE[1] * max(s for s, _ in shares))
    return replace(
        point,
        plate_amps=left * (1 - share),
        screen_amps=left * share,
        plate_by="assumed share",
        screen_by="assumed share",
        screen_share=share,
        screen_share_source=source,
        plate_amps_low=left * (1 - most),
        plate_amps_high=left * (1 - least),
    )


def _watts(point: Operating, stage: Stage, volts: Mapping[Place, float]) -> Operating:
    """Plate-to-cathode volts times plate current, and the same for the screen."""
    cathode = volts.get(stage.cathode) if stage.cathode else None
    if cathode is None:
        return replace(point, lacks=(*point.lacks, "the cathode was not read"))
    plate = volts.get(stage.plates[0]) if len(stage.plates) == 1 else None
    screen = volts.get(stage.screens[0]) if len(stage.screens) == 1 else None
    across = plate - cathode if plate is not None else None
    across_screen = screen - cathode if screen is not None else None
    return replace(
        point,
        plate_to_cathode_volts=across,
        screen_to_cathode_volts=across_screen,
        plate_watts=_product(across, point.plate_amps),
        plate_watts_low=_product(across, point.plate_amps_low),
        plate_watts_high=_product(across, point.plate_amps_high),
        screen_watts=_product(across_screen, point.screen_amps),
    )


def _product(volts: float | None, amps: float | None) -> float | None:
    return volts * amps if volts is not None and amps is not None else None


def _ratings(point: Operating, stage: Stage, tube: Tube | None) -> Operating:
    maxima = maxima_of(stage, tube) if tube else None
    if tube is None or maxima is None:
        return point
    plate, screen = maxima.plate_watts, maxima.screen_watts

    def source(name: str, limit: Rated | None) -> str:
        return grade.said(limit.sources[:1], grade.rated(tube, maxima.section, name, limit)) if limit else ""

    return replace(
        point,
        max_plate_watts=plate.value if plate else None,
        max_plate_watts_source=source("plate_watts", plate),
        max_screen_watts=screen.value if screen else None,
        max_screen_watts_source=source("screen_watts", screen),
    )
