"""What stands around each amplifying stage: its parts as they were and are, and what was read at its electrodes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...circuit.elements import CAPACITOR, FUSE, RESISTOR, WINDING, Element
from ...circuit.in_place import InPlace, in_place
from ...circuit.placeless import may_couple
from ...record.units import say
from .judging import HIGH, LOW, OUTSIDE, POSITIVE_GRID
from .together import Together

if TYPE_CHECKING:
    from ...circuit.in_place import When
    from ...circuit.network import Network
    from ...circuit.places import Place
    from ...circuit.stages import Stage
    from ..bench import Bench
    from .rows import ReadingRow
    from .together import AtTube

    Days = Mapping[str, When]

_SYMBOLS = {RESISTOR: "resistor", CAPACITOR: "capacitor", WINDING: "inductor", FUSE: "fuse"}


@dataclass(frozen=True, slots=True)
class StagePart:
    """A part at an electrode: what it is drawn as, its words, and what is at its other end, empty for the common.

    ``state`` is ``kept`` (also for one that was exchanged: its words say both values), ``added`` or ``removed``.
    """

    name: str
    symbol: str
    words: tuple[str, ...]
    far: str
    state: str = "kept"


@dataclass(frozen=True, slots=True)
class Around:
    """One electrode: its readings in words, and the parts that feed it, that lie to the common, and all others.

    ``on`` names the rail that it is joined to. ``off`` says that its newest reading is off.
    """

    name: str
    pins: str
    read: tuple[str, ...] = ()
    off: bool = False
    on: str = ""
    feeds: tuple[StagePart, ...] = ()
    to_common: tuple[StagePart, ...] = ()
    others: tuple[StagePart, ...] = ()

    @property
    def parts(self) -> tuple[StagePart, ...]:
        """All of them."""
        return (*self.feeds, *self.to_common, *self.others)


@dataclass(frozen=True, slots=True)
class LeakCurrent:
    """What a positive grid sends through its leak, in amperes: ``volts`` across ``ohms`` of ``part`` (Ohm's law).

    ``run`` is the list it was read in. ``through`` names what else lies at the grid and may have brought it,
    ``perhaps`` coupling capacitors of which nobody wrote where they lie; ``remark`` says what was taken for granted of
    the part's time.
    """

    amps: float
    volts: float
    ohms: float
    part: str
    run: str
    through: tuple[str, ...]
    remark: str = ""
    perhaps: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """What it says."""
        ways = "through something the record does not list"
        if self.through:
            ways = f"through {' or '.join(self.through)}"
        elif self.perhaps:
            ways = f"through {' or '.join(self.perhaps)}, if that leads to this grid (no places are written)"
        return (
            f"{self.run}: +{say(self.volts, 'V')} across {self.part}, {say(self.ohms, 'ohm')}, is "
            f"{say(self.amps, 'A', digits=2)}, which came {ways}, or out of the grid itself."
            + (f" {self.part}: {self.remark}." if self.remark else "")
        )


@dataclass(frozen=True, slots=True)
class StageParts:
    """One stage as it can be drawn. ``grids`` are from the cathode outwards, ``common`` is what its returns go to.

    ``cathode`` is None where the filament does its work.
    """

    name: str
    type: str
    cathode: Around | None
    grids: tuple[Around, ...]
    screens: tuple[Around, ...]
    plates: tuple[Around, ...]
    common: str
    leak: LeakCurrent | None = None

    @property
    def electrodes(self) -> tuple[Around, ...]:
        """All of them, the cathode first."""
        return (*((self.cathode,) if self.cathode else ()), *self.grids, *self.screens, *self.plates)

    @property
    def story_name(self) -> str:
        """Its name in a story."""
        return f"stage {self.name}"


def stage_parts(groups: Sequence[AtTube], days: Days, bench: Bench) -> tuple[StageParts, ...]:
    """Every stage that the record lists a part of, in the set's order."""
    network = bench.circuit.network
    read = {at.spot.place: at for group in groups for at in group.places if at.spot.current == "DC" and not at.spot.pin}
    made = (_stage(stage, read, days, network, bench) for stage in network.stages)
    return tuple(stage for stage in made if any(electrode.parts for electrode in stage.electrodes))


def _stage(stage: Stage, read: Mapping[Place, Together], days: Days, network: Network, bench: Bench) -> StageParts:
    def around(place: Place) -> Around:
        return _around(place, read.get(place), network, bench)

    commons = [end for e in network.elements for end in e.ends if end.is_common and _touches(e, stage, network)]
    leaks = (_leak(grid, read.get(grid), days, network, bench) for grid in stage.grids)
    return StageParts(
        stage.name,
        bench.tubes[stage.tube].type,
        around(stage.cathode) if stage.cathode else None,
        tuple(around(grid) for grid in reversed(stage.grids)),
        tuple(around(screen) for screen in stage.screens),
        tuple(around(plate) for plate in stage.plates),
        commons[0].name(bench.words) if commons else bench.words.of_key(bench.circuit.grounding.reference),
        next((leak for leak in leaks if leak), None),
    )


def _touches(element: Element, stage: Stage, network: Network) -> bool:
    own = (*((stage.cathode,) if stage.cathode else ()), *stage.grids, *stage.screens, *stage.plates)
    return any(network.same(end, at) for end in element.ends for at in own)


def _around(place: Place, at: Together | None, network: Network, bench: Bench) -> Around:
    rail = next((other for other in network.joined_to(place) if not other.tube and other.kind), None)
    name, pins = place.said(bench.words), at.pins if at else _pins(place, bench)
    words, off = _words(at), bool(at and at.read and at.read[-1].verdict in OUTSIDE)
    if rail is not None:
        return Around(name, pins, words, off, rail.name(bench.words))
    sorted_in: dict[str, list[StagePart]] = {"feeds": [], "common": [], "others": []}
    fed = network.feeds(place) if place.kind in ("plate", "screen") else ()
    for element in network.at(place):
        drawn = _part(element, place, network, bench)
        if drawn is not None:
            sorted_in["common" if not drawn.far else "feeds" if element in fed else "others"].append(drawn)
    return Around(name, pins, words, off, "", *(tuple(parts) for parts in sorted_in.values()))


def _pins(place: Place, bench: Bench) -> str:
    from .pins import pins_of
    from .spots import Spot

    return pins_of(Spot(place.tube, place.word, place.key, place=place), bench.tubes)


def _words(at: Together | None) -> tuple[str, ...]:
    """The newest reading, and the first that was off."""
    if at is None or not at.read:
        return ()
    now = at.read[-1]
    found = (f"found {_volts(at.was_off)}",) if at.was_off else ()
    return (_volts(now), *(("positive",) if now.verdict == POSITIVE_GRID else ()), *found)


def _volts(row: ReadingRow) -> str:
    plain = not row.as_typed and row.measured_volts is not None
    said = say(row.measured_volts, "V") if plain else row.measured_written
    sign = "+" if row.verdict == POSITIVE_GRID and plain else ""
    return f"{sign}{said}{', ' + row.verdict if row.verdict in (LOW, HIGH) else ''}"


def _part(element: Element, place: Place, network: Network, bench: Bench) -> StagePart | None:
    symbol = _SYMBOLS.get(element.kind)
    if symbol is None or network.same(*element.ends):
        return None
    far = network.other_end(element, place)
    old, new = in_place(element.listed, "before"), in_place(element.listed, "now")
    words, state = _values(old, new)
    common = "" if network.is_common(far) else far.name(bench.words)
    return StagePart(element.name, symbol, words, common, state)


def _values(old: InPlace, new: InPlace) -> tuple[tuple[str, ...], str]:
    """Was and now in words, and how it is drawn."""
    if not old.is_there:
        return tuple(filter(None, (_value(new),))), "added"
    if not new.is_there:
        return tuple(filter(None, (_value(old), _leaking(old, "leaked")))), "removed"
    if new.which != "now" or old.which == "":
        return tuple(filter(None, (_value(new), _leaking(new, "leaks")))), "kept"
    was = tuple(f"was {said}" for said in (_value(old),) if said)
    return (
        *was,
        *filter(None, (_leaking(old, "leaked"),)),
        *(f"now {said}" for said in (_value(new),) if said),
    ), "kept"


def _value(inside: InPlace) -> str:
    if inside.condition:
        return inside.condition
    if inside.value is not None:
        return say(inside.value, inside.unit)
    bounds = (("at least", inside.low), ("at most", inside.high))
    return next((f"{word} {say(value, inside.unit)}" for word, value in bounds if value), "")


def _leaking(inside: InPlace, word: str) -> str:
    """The leakage that was measured, where it is more than a bound."""
    seen = inside.seen
    if seen.leakage_amps is not None and seen.leakage_bound in ("exact", "at most"):
        return f"{word} {say(seen.leakage_amps, 'A')}" if seen.leakage_amps else ""
    return ""


def _leak(grid: Place, at: Together | None, days: Days, network: Network, bench: Bench) -> LeakCurrent | None:
    """The current in the leak of a grid that was read positive, in the first list that found it so."""
    row = next((row for row in at.read if row.verdict == POSITIVE_GRID and not row.as_typed), None) if at else None
    if row is None or row.run not in days or not row.measured_volts:
        return None
    return next(_through_leaks(grid, row, days[row.run], network, bench), None)


def _through_leaks(grid: Place, row: ReadingRow, day: When, network: Network, bench: Bench) -> Iterator[LeakCurrent]:
    volts = row.measured_volts or 0.0
    names = {element.name for element in network.leaks(grid)}
    others = tuple(e.name for e in network.at(grid) if e.name not in names)
    perhaps = () if others else may_couple(bench.circuit)
    for resistor in bench.circuit.resistors(day):
        if resistor.part in names and not resistor.bound and resistor.ohms:
            amps, told = volts / resistor.ohms, resistor.remark
            yield LeakCurrent(amps, volts, resistor.ohms, resistor.part, row.run, others, told, perhaps)
