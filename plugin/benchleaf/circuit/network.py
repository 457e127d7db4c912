"""The set as a network: what lies between which points, and the questions that are asked of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import inf, log
from typing import TYPE_CHECKING

from ..record.place_words import B_MINUS, B_PLUS, CHASSIS
from .elements import CAPACITOR, FUSE, RESISTOR, WINDING, WIRE, Element, elements_of
from .in_place import in_place
from .places import CONTROL_GRIDS, Place, Places, rail
from .shared_filaments import shared_filaments
from .stages import Stage, operations, stages_of
from .winding_halves import with_halves

if TYPE_CHECKING:
    from ..record.model import Record
    from .in_place import When
    from .listed import Listed

_CONDUCTING = (RESISTOR, WINDING, FUSE, "")
"""Kinds of parts that direct current may pass."""


@dataclass(frozen=True, slots=True)
class Coupling:
    """A capacitor from the plate of one stage to the control grid of another."""

    element: Element
    plate: Place
    grid: Place


@dataclass(frozen=True, slots=True)
class StageLoad:
    """What a stage's plate works into for signals, in ohms.

    ``how`` is ``published`` (the tube's own load at its published operation), ``reflected`` (what the transformer is
    said to match), ``speaker`` (what its impedance makes through the ratio written) or ``resistors``; ``parts`` are the
    resistors, the plate's own first. Each is in place when asked.
    """

    how: str
    ohms: float = 0.0
    parts: tuple[Element, ...] = ()


@dataclass(frozen=True)
class Network:
    """Elements and stages between points. ``points`` maps a place to the one that stands for all it is joined to.

    Places are joined by the record's wires, B- and the chassis where the set has them as one, and a rectifier's
    cathode to the rail that it feeds (``first_filter``: cathode and rail; ``circuit.first_rail``), unless something
    is written between the two.
    """

    places: Places
    elements: tuple[Element, ...] = ()
    stages: tuple[Stage, ...] = ()
    points: Mapping[Place, Place] = field(default_factory=dict)
    first_filter: tuple[Place, Place] | None = None

    def point(self, place: Place) -> Place:
        """The place that stands for all places joined to this one, and for itself where there is none."""
        return self.points.get(place, place)

    def same(self, one: Place, other: Place) -> bool:
        """Whether two places are one point."""
        return self.point(one) == self.point(other)

    def joined_to(self, place: Place) -> tuple[Place, ...]:
        """All places that are one point with this one, itself among them."""
        at = self.point(place)
        return tuple(dict.fromkeys((place, at, *self._joined.get(at, ()))))

    @cached_property
    def _joined(self) -> dict[Place, list[Place]]:
        """The places that each point stands for, in the order of ``points``."""
        found: dict[Place, list[Place]] = {}
        for place, point in self.points.items():
            found.setdefault(point, []).append(place)
        return found

    def is_common(self, place: Place) -> bool:
        """Whether a place is at the bottom of the supply, or wired to it."""
        return any(at.is_common for at in self.joined_to(place))

    def stands_alone(self, place: Place) -> bool:
        """Whether an electrode is on a point of its own: no rail and no electrode of another section is joined to it.

        Only then is the current of the parts at the point the electrode's.
        """
        return all(at == place for at in self.joined_to(place))

    @cached_property
    def _at(self) -> dict[Place, list[Element]]:
        found: dict[Place, list[Element]] = {}
        for element in self.elements:
            for point in dict.fromkeys(map(self.point, element.ends)):
                found.setdefault(point, []).append(element)
        return found

    def at(self, place: Place, *kinds: str) -> tuple[Element, ...]:
        """The elements with an end on a place's point, of the ``kinds`` named or of all, in the record's order."""
        found = self._at.get(self.point(place), ())
        return tuple(element for element in found if not kinds or element.kind in kinds)

    def other_end(self, element: Element, place: Place) -> Place:
        """The end of an element that is not on a place's point."""
        return element.ends[1] if self.same(element.ends[0], place) else element.ends[0]

    def between(self, one: Place, other: Place) -> tuple[Element, ...]:
        """What lies from one point straight to another: from B- to the chassis, from rail to rail."""
        return tuple(element for element in self.at(one) if self.same(self.other_end(element, one), other))

    def from_b_minus_to_chassis(self) -> tuple[Element, ...]:
        """The parts between B- and the chassis; none where a wire makes the two one point.

        Parts in series count, by way of points that are neither rails nor electrodes.
        """
        ends = self.point(rail(B_MINUS)), self.point(rail(CHASSIS))
        if ends[0] == ends[1]:
            return ()
        along = [element for element in self.elements if self._may_join(element, ends)]
        while loose := self._loose(along, ends):
            along = [element for element in along if not loose & self._inner(element, ends)]
        joining: set[str] = set()
        for group in self._clusters(along, ends):
            if {*ends} <= {self.point(end) for element in group for end in element.ends}:
                joining.update(element.name for element in group)
        return tuple(element for element in along if element.name in joining)

    def _may_join(self, element: Element, ends: tuple[Place, Place]) -> bool:
        """Whether both ends of an element are B-, the chassis, or points that are neither rails nor electrodes."""
        free = (not (point.tube or point.kind) for point in self._inner(element, ends))
        return not self._is_loop(element) and all(free)

    def _inner(self, element: Element, ends: tuple[Place, Place]) -> set[Place]:
        return {self.point(end) for end in element.ends}.difference(ends)

    def _loose(self, elements: Iterable[Element], ends: tuple[Place, Place]) -> set[Place]:
        """The inner points at which one element ends and none goes on."""
        counted = Counter(point for element in elements for point in self._inner(element, ends))
        return {point for point, count in counted.items() if count == 1}

    def _clusters(self, elements: Iterable[Element], ends: tuple[Place, Place]) -> Iterator[list[Element]]:
        """Elements by the inner points that they share; each that has none by itself."""
        points = joined_points([[*inner] for element in elements if (inner := self._inner(element, ends))])
        clusters: dict[Place, list[Element]] = {}
        for element in elements:
            inner = self._inner(element, ends)
            if inner:
                clusters.setdefault(points[next(iter(inner))], []).append(element)
            else:
                yield [element]
        yield from clusters.values()

    def feeds(self, place: Place) -> tuple[Element, ...]:
        """What may bring direct current to an electrode or rail: resistors and windings that do not go to common."""
        return tuple(
            element
            for element in self.at(place, *_CONDUCTING)
            if not self.is_common(self.other_end(element, place)) and not self._is_loop(element)
        )

    def leaks(self, grid: Place) -> tuple[Element, ...]:
        """A grid's leak: the resistors from it to the bottom of the supply, the first written first.

        Where none goes there, those to a tap that only makes bias: it lies behind resistors, and no signal is on it.
        """
        leaks = self.to_common(grid, RESISTOR)
        return leaks or tuple(e for e in self.at(grid, RESISTOR) if self._makes_bias(self.other_end(e, grid)))

    def _makes_bias(self, at: Place) -> bool:
        """Whether a point of the writer's own name, with no electrode at it, hangs at the bottom by resistors."""
        alone = not any(one.tube or one.kind for one in self.joined_to(at))
        return alone and bool(self.to_common(at, RESISTOR, WINDING))

    def to_common(self, place: Place, *kinds: str) -> tuple[Element, ...]:
        """The elements of some kinds from a place to B- or the chassis."""
        return tuple(element for element in self.at(place, *kinds) if self.is_common(self.other_end(element, place)))

    def _is_loop(self, element: Element) -> bool:
        return self.same(*element.ends)

    @cached_property
    def couplings(self) -> tuple[Coupling, ...]:
        """Every coupling capacitor, in the record's order: what leaks into the grid behind it."""
        found = []
        for element in self.elements:
            if element.kind == CAPACITOR:
                for plate, grid in (element.ends, element.ends[::-1]):
                    found += list(self._couplings(element, plate, grid))
        return tuple(found)

    def _couplings(self, element: Element, plate: Place, grid: Place) -> Iterator[Coupling]:
        plates = [at for at in self.joined_to(plate) if at.electrode == "plate" and at.kind == "plate"]
        grids = [at for at in self.joined_to(grid) if at.electrode in CONTROL_GRIDS]
        for to in grids:
            start = next((at for at in plates if (at.tube, at.section) != (to.tube, to.section)), None)
            if start is not None:
                yield Coupling(element, start, to)

    def coupling(self, name: str) -> Coupling | None:
        """What a part couples, by its name."""
        return next((found for found in self.couplings if found.element.name == name), None)

    def stage_of(self, plate: Place) -> Stage | None:
        """The stage that a plate belongs to."""
        return next((stage for stage in self.stages if plate in stage.plates), None)

    def load(self, place: Place, plate_volts: float | None = None, when: When = "now") -> StageLoad | None:
        """What the plate at a place works into for signals; None where it is not known.

        A winding's resistance is not its load: what counts there is what the transformer is said to match, or else the
        load the tube was published with, nearest to ``plate_volts`` where those are known. A plate resistor works side
        by side with the grid leaks that are coupled to it, as both end at points that have no signal. Each of two tubes
        in push-pull has half of what is matched from plate to plate (class A; textbook, from memory). Of a
        resistor that was taken out and one put in its place, that counts which was there ``when``.
        """
        plate = next((at for at in self.joined_to(place) if at.kind == "plate"), None)
        if plate is None:
            return None
        feeds = self.feeds(plate)
        # On a rail by a wire, what else hangs there is no load of its own.
        on_a_rail = any(at.kind == B_PLUS for at in self.joined_to(plate))
        matched = next((e for e in feeds if e.primary_ohms and (plate in e.ends or not on_a_rail)), None)
        reflected = matched.primary_ohms if matched else None
        if matched and reflected and matched.of_two:
            reflected /= 2
        if reflected:
            return StageLoad("reflected", reflected)
        resistors = tuple(element for element in feeds if element.kind == RESISTOR)
        if resistors and len(resistors) == len(feeds):
            coupled = dict.fromkeys(c.grid for c in self.couplings if c.plate == plate)
            onward = [leak for grid in coupled for leak in there_at(self.leaks(grid), when)[:1]]
            return StageLoad("resistors", parts=(there_at(resistors, when)[0], *onward))
        published = self.published_load(plate, plate_volts)
        return StageLoad("published", published) if published else None

    def published_load(self, plate: Place, plate_volts: float | None) -> float | None:
        """The load of the plate's section at a published operation: neither push-pull nor as a triode.

        That at the plate volts nearest by their ratio, the first where none are known.
        """
        tube, stage = self.places.tubes.get(plate.tube), self.stage_of(plate)
        if tube is None or stage is None:
            return None
        loads = [t for t in operations(stage, tube) if t.load_ohms]
        if plate_volts and plate_volts > 0:
            loads.sort(key=lambda t: abs(log(t.plate_volts / plate_volts)) if t.plate_volts else inf)
        return loads[0].load_ohms if loads else None


def there_at(elements: Sequence[Element], when: When) -> Sequence[Element]:
    """Those of some elements that were in the set at a time; all of them where none was."""
    return [one for one in elements if in_place(one.listed, when).is_there] or elements


def network_of(record: Record, places: Places, components: Sequence[Listed]) -> Network:
    """The network that a record writes, with the components of its parts list."""
    groups = [[places.read(name) for name in wire] for wire in record.wires]
    elements = tuple(with_halves(elements_of(record, places, components, joined_points(groups)), places))
    fitted = ((str(position), str(tube.job or "")) for position, tube in record.tubes.items())
    stages = tuple(stage for position, job in fitted for stage in stages_of(places, position, job))
    groups += [[*element.ends] for element in elements if element.kind == WIRE]
    groups += shared_filaments(record, places)
    together = ((*one.piece.ends[:1], *one.piece.joined_to_first) for one in components if one.piece.ends)
    groups += [[places.read(name) for name in names] for names in together if len(names) > 1]
    return Network(places, elements, stages, joined_points(groups))


def joined_to_b_minus(network: Network, at: Place | None) -> Network:
    """The network with a point of the writer's own name as B-; as it is where there is none."""
    return network if at is None else replace(network, points=joined_points([*groups_of(network), [rail(B_MINUS), at]]))


def groups_of(network: Network) -> list[list[Place]]:
    """The places that are joined, point by point."""
    groups: dict[Place, list[Place]] = {}
    for place, point in network.points.items():
        groups.setdefault(point, []).append(place)
    return list(groups.values())


def joined_points(groups: Iterable[list[Place]]) -> dict[Place, Place]:
    """The places of groups that share one, each with the place that stands for all: a rail before an electrode."""
    merged: list[dict[Place, None]] = []
    for group in groups:
        whole = dict.fromkeys(group)
        for other in [m for m in merged if m.keys() & whole.keys()]:
            merged.remove(other)
            whole = {**other, **whole}
        merged.append(whole)
    points: dict[Place, Place] = {}
    for whole in merged:
        stands_for = min(whole, key=lambda place: (not place.is_common, bool(place.tube), place.kind == ""))
        points |= dict.fromkeys(whole, stands_for)
    return points
