"""What current each stage of a set draws, by Ohm's and Kirchhoff's laws, worked out here for every chapter."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from ..record.figures import in_figures
from .operating import AGREE, Operating, with_heat
from .places import Place
from .resistors import ResistorInPlace, Through, into, through
from .stages import Stage, changes_frequencies
from .usual_limits import ONE_POINT, READING_LIMIT

if TYPE_CHECKING:
    from ..record.model import Record
    from ..tubes import Tube
    from .circuit import Circuit
    from .network import Network

SMALL_DROP = 0.25
"""A drop that its two readings may make wrong by this much tells a current worse than the cathode's resistor does:
8 V across a winding at 120 V is off by 40 %."""

SHARE_RANGE = (0.5, 2.0)
"""A screen share taken from a tube's published operation may be half or twice as large at another plate voltage or
signal: sheets of the EL84 (Philips, 1953-1955) have 10 % at no signal and 18 % at full output."""

OUTPUT_SHARE = 0.1
"""Screen share of an output tube that the table has no operation of. Common practice, no source."""

LEAST_FED_VOLTS = 10.0
"""Below this a plate or screen takes no share of the cathode current worth the name. Common practice, no source."""

OFF_VOLTS = 1.0
"""What is read below this has no supply. Common practice, no source."""

_AMPS = ("cathode_amps", "plate_amps", "screen_amps", "plate_amps_low", "plate_amps_high", "drop_amps", "drop_off_amps")
_WATTS = ("plate_watts", "screen_watts", "plate_watts_low", "plate_watts_high")
_OTHERS = ("plate_to_cathode_volts", "screen_to_cathode_volts", "screen_share", "sum_over_cathode")


@dataclass(frozen=True)
class _KnownVolts:
    """What one list of voltages and the parts list know."""

    parts: tuple[ResistorInPlace, ...]
    volts: Mapping[Place, float]
    network: Network
    record: Record

    @cached_property
    def fed(self) -> frozenset[Place]:
        """Every point that a resistor ends at."""
        return frozenset(end for part in self.parts for end in part.ends)

    def into(self, places: Sequence[Place]) -> tuple[Through, ...] | None:
        """All currents into one electrode that has its point for itself."""
        if len(places) != 1 or not self.network.stands_alone(places[0]):
            return None
        return into(places[0], self.parts, self.volts, self.network)

    def beside(self, place: Place) -> tuple[Through, ...] | None:
        """All currents into another section's electrode: none where nothing feeds it; not known by a small drop."""
        if self.unfed(place):
            return ()
        found = self.into((place,))
        return None if found is None or _is_small(found) else found

    def unfed(self, place: Place) -> bool:
        """Whether everything that feeds an electrode reads next to nothing, as a wave switch leaves half of a set."""
        feeds = self.network.feeds(place)
        ends = (self.volts.get(self.network.point(self.network.other_end(feed, place))) for feed in feeds)
        own = self.volts.get(place, 0.0)
        return bool(feeds) and abs(own) < OFF_VOLTS and all(end is not None and abs(end) < OFF_VOLTS for end in ends)

    def out_of_cathode(self, cathode: Place) -> tuple[Through, ...] | None:
        """All currents out of a cathode's point; of joined cathodes only where their tubes are of one type."""
        joined = self.network.joined_to(cathode)
        types = {_type_at(at.tube, self.record) for at in joined}
        if len(types) > 1 or any(at.electrode != "cathode" for at in joined):
            return None
        steps = into(cathode, self.parts, self.volts, self.network)
        return None if steps is None else tuple(step.reversed() for step in steps)


def operating(
    circuit: Circuit,
    stages: Iterable[Stage],
    volts: Mapping[Place, float],
    parts: tuple[ResistorInPlace, ...],
    run: str = "",
) -> dict[str, Operating]:
    """Every stage of which a list of voltages and the parts tell a current, by the name of its stage.

    ``volts`` are direct and counted from one point; ``parts`` are the resistors that were in when they were read.
    """
    known = _KnownVolts(parts, volts, circuit.network, circuit.record)
    found = {}
    for stage in stages:
        point = _stage(stage, known, circuit.tubes.get(stage.tube))
        if point is not None:
            named = replace(point, run=run, tube=stage.tube, section=stage.section)
            found[stage.name] = in_figures(named, *_AMPS, *_WATTS, *_OTHERS)
    return found


def drains(circuit: Circuit, volts: Mapping[Place, float], parts: Iterable[ResistorInPlace]) -> tuple[Through, ...]:
    """The direct current in each resistor between two supply rails, from the higher to the lower."""
    rectifiers = {p for p, t in circuit.tubes.items() if "rectifier" in (t.role or "")}

    def rail(point: Place) -> bool:
        return (not point.tube or point.tube in rectifiers) and volts.get(point, 0.0) > 0

    found = []
    for part in parts:
        if not part.bound and all(map(rail, part.ends)):
            start = max(part.ends, key=lambda node: volts[node])
            found.append(in_figures(through(part, start, volts), "amps"))
    return tuple(found)


def _stage(stage: Stage, known: _KnownVolts, tube: Tube | None) -> Operating | None:
    if len(stage.plates) > 1 and changes_frequencies(stage):
        # A converter's further plate is its oscillator's, and takes its current from the same cathode.
        stage = replace(stage, plates=stage.plates[:1], beside=(*stage.beside, *stage.plates[1:]))
    out, plate, screen = _flows(stage, known)
    if out is plate is screen is None or (stage.plates and all(map(known.unfed, stage.plates))):
        return None
    beside = [known.beside(node) for node in (*stage.beside, *_of_twins(stage, known))]
    steps = tuple(step for found in (out, plate, screen, *beside) for step in found or ())
    point = Operating(through=tuple(in_figures(step, "amps") for step in steps))
    # The lower arm of a divider leads away from what it feeds.
    arms = {step for step in steps if known.network.is_common(step.from_node)}
    if backwards := [step.part for step in steps if step.amps < -_off((step,)) and step not in arms]:
        lacks = f"the readings at the two ends of {' and '.join(backwards)} contradict each other: one of them is wrong"
        return replace(point, lacks=(lacks,))
    sharing = _sharing_cathode(stage, known) if out is not None else 1
    cathode = _total(out) / sharing if out is not None else None
    others = math.fsum(_total(one) for one in beside if one is not None) if None not in beside else None
    point = replace(point, sharing_cathode=sharing)
    aside = cathode is not None and others is not None
    sure_plate, sure_screen = (_sure(flow, aside=aside) for flow in (plate, screen))
    point = _currents(point, stage, cathode, sure_plate, sure_screen, others)
    if point.plate_amps is None and point.screen_amps is None and cathode is not None and others is not None:
        point = _by_share(point, stage, cathode - others, tube, known.volts)
    return with_heat(_by_small_drop(point, plate, screen), stage, known.volts, tube)


def _of_twins(stage: Stage, known: _KnownVolts) -> tuple[Place, ...]:
    """Plates and screens of the sections of this tube whose cathode of their own is wired to this one's."""
    return tuple(
        place
        for other in known.network.stages
        if other.tube == stage.tube and other.cathode and stage.cathode and other.cathode != stage.cathode
        if known.network.same(other.cathode, stage.cathode)
        for place in (*other.plates, *other.screens)
    )


_Flow = tuple[Through, ...] | None


def _flows(stage: Stage, known: _KnownVolts) -> tuple[_Flow, _Flow, _Flow]:
    """The currents out of the cathode, into the plate and into the screen, each where its resistors tell it."""
    out = known.out_of_cathode(stage.cathode) if stage.cathode else None
    screen = None if _feeds_others(stage, known) else known.into(stage.screens)
    return out, known.into(stage.plates), screen


def _total(steps: Sequence[Through]) -> float:
    return math.fsum(step.amps for step in steps)


def _off(steps: Sequence[Through]) -> float:
    """What the readings at the ends of resistors make their current wrong by, in amperes."""
    return math.hypot(*(READING_LIMIT * math.hypot(s.from_volts, s.to_volts) / s.ohms for s in steps if s.ohms))


def _is_small(steps: Sequence[Through]) -> bool:
    """Whether a current rests on a drop that is small beside what its readings may be off by."""
    return _off(steps) > SMALL_DROP * abs(_total(steps))


def _sure(steps: _Flow, *, aside: bool) -> float | None:
    """A current; one by a small drop only where it is not put ``aside`` for the cathode's, nor flows backwards."""
    if steps is None or (_is_small(steps) and (aside or _total(steps) < 0)):
        return None
    return _total(steps)


def _by_small_drop(point: Operating, plate: _Flow, screen: _Flow) -> Operating:
    """What a small drop says: told with its ends where nothing tells the current better, set beside it otherwise."""
    if screen is not None and point.screen_amps is None and _total(screen) >= 0:
        point = replace(point, screen_amps=_total(screen), screen_by="resistor")
    if plate is None or not _is_small(plate):
        return point
    amps, off = _total(plate), _off(plate)
    if point.plate_amps is not None and point.plate_by != "resistor":
        return replace(point, drop_amps=amps, drop_off_amps=off)
    if amps < 0:
        return point
    point = replace(point, plate_amps=amps, plate_by="resistor")
    return replace(point, plate_amps_low=max(amps - off, 0.0), plate_amps_high=amps + off)


def _feeds_others(stage: Stage, known: _KnownVolts) -> bool:
    """Whether another tube's screen hangs on this one's resistor: it reads the same and has none of its own."""
    return bool(stage.screens and _hanging_on(stage.screens[0], known))


def _hanging_on(place: Place, known: _KnownVolts) -> list[Place]:
    """Electrodes of other tubes of the same key that are wired to ``place``, or read the same and have no resistor."""
    here = known.volts.get(place)
    if not here:
        return []
    return [
        other
        for other, volts in known.volts.items()
        if other.tube not in ("", place.tube)
        and other.key == place.key
        and (known.network.same(other, place) or _reads_the_same(other, volts, here, known))
    ]


def _reads_the_same(other: Place, volts: float, here: float, known: _KnownVolts) -> bool:
    return math.isclose(volts, here, rel_tol=ONE_POINT) and known.network.point(other) not in known.fed


def _sharing_cathode(stage: Stage, known: _KnownVolts) -> int:
    """How many tubes of this type stand on one cathode resistor."""
    if stage.cathode is None:
        return 1
    own = _type_at(stage.tube, known.record)
    return 1 + sum(_type_at(at.tube, known.record) == own for at in _hanging_on(stage.cathode, known))


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
    if cathode is None:
        return point
    taken = (plate or 0.0) + (screen or 0.0)
    left = cathode - others - taken
    if left < 0:
        return replace(point, sum_over_cathode=(taken + others) / cathode if taken and cathode > 0 else None)
    if screen is not None:
        if left < AGREE * cathode and (others or not no_screen):
            return replace(
                point, lacks=("what is left for the plate is less than readings and resistors may be off by",)
            )
        return replace(point, plate_amps=left, plate_by="cathode" if no_screen else "difference")
    if plate is not None:
        return replace(point, screen_amps=left, screen_by="difference")
    return point


def _by_share(
    point: Operating, stage: Stage, left: float, tube: Tube | None, volts: Mapping[Place, float]
) -> Operating:
    """Plate and screen current by the screen's share of the tube's typical operation."""
    shares = _shares(stage, tube)
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


def _shares(stage: Stage, tube: Tube | None) -> list[tuple[float, str]]:
    """The screen's share of the cathode current in each published operation, and who says so."""
    published = [
        (t.screen_amps / (t.plate_amps + t.screen_amps), t.source)
        for t in (tube.typical if tube else ())
        if t.plate_amps and t.screen_amps and (not t.section or stage.section.endswith(t.section))
    ]
    if published or not (stage.certain and stage.screens and any(plate.swings for plate in stage.plates)):
        return published
    return [(OUTPUT_SHARE, "common practice for an output stage, no source")]
