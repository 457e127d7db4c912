"""What a change of value does: corner frequency, time constant, loss at the line’s frequencies, before and after."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.elements import RESISTOR
from ...circuit.places import COMMON, Place, rail_order
from ...electrics.impedance import corner_frequency

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from ...circuit.elements import Element
    from ...circuit.network import Coupling, Network
    from ..bench import Bench
    from .pieces import Piece

Ends = tuple[Place, Place]


@dataclass(frozen=True, slots=True)
class Acting:
    """A capacitor with its resistor: farad, ohm, hertz, seconds; ``loss_decibels`` at the line frequency and twice it.

    The loss is that of the coupling or bypass; None where the role has none.
    """

    farads: float
    ohms: float
    corner_hertz: float
    seconds: float
    loss_decibels: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Effect:
    """What a replaced capacitor does in its place, as the sheet or the old part had it and as it is now.

    ``role`` is ``coupling``, ``cathode bypass``, ``screen bypass``, ``tone``, ``AVC`` or ``filter``. ``lacks`` says
    what the record would have to give, where nothing could be computed.
    """

    role: str
    resistor: str = ""
    before: Acting | None = None
    after: Acting | None = None
    line_hertz: float | None = None
    lacks: str = field(default="", metadata={"json": False})


def effect(bench: Bench, name: str, piece: Piece, ends: Ends | None, pieces: Mapping[str, Piece]) -> Effect | None:
    """The consequence of a new capacitor; None where none was fitted or its role is not one that is computed.

    ``name`` is the component's own, ``pieces`` are the record's components by name.
    """
    network = bench.circuit.network
    new = piece.now
    if new is None or new.unit != "F" or not new.present or ends is None:
        return None
    coupled = network.coupling(name)
    role = "coupling" if coupled else role_of(piece, ends, network)
    if not role:
        return None
    old = next((s.value for s in (piece.sheet, piece.was) if s and s.value and s.unit == "F"), None)
    asked = _Asked(bench, network, pieces, coupled)
    resistor, before, after, lacks = _RESISTOR[role](ends, asked)
    hertz = bench.circuit.mains.hertz
    if before is None or after is None:
        if role == "filter":
            return None
        return Effect(role, resistor, line_hertz=hertz, lacks=lacks)
    passes = role == "coupling"
    return Effect(
        role,
        resistor,
        _acting(old, before, hertz if passes else None) if old else None,
        _acting(new.present, after, hertz if passes else None),
        hertz,
    )


def _acting(farads: float, ohms: float, hertz: float | None) -> Acting:
    corner = corner_frequency(ohms, farads)
    losses = (_loss(corner, hertz), _loss(corner, 2 * hertz)) if hertz else None
    return Acting(farads, ohms, corner, ohms * farads, losses)


def _loss(corner: float, hertz: float) -> float:
    return round(10 * math.log10(1 + (corner / hertz) ** 2), 6)


def role_of(piece: Piece, ends: Ends, network: Network) -> str:
    """The role whose consequence is computed, from where the part sits and from its job."""
    joined = [at for end in ends for at in network.joined_to(end)]
    kinds = {at.kind for at in joined}
    job = piece.job.casefold()
    if not kinds & COMMON and "tone" not in job:
        return ""
    if "AVC" in kinds:
        return "AVC"
    if "cathode" in kinds:
        return "cathode bypass"
    if "screen" in kinds and "B+" not in kinds:
        return "screen bypass"
    if "plate" in kinds and ("tone" in job or any(at.swings for at in joined)):
        return "tone"
    return "filter" if "B+" in kinds else ""


_Found = tuple[str, float | None, float | None, str]
"""What the capacitor works with, its ohms before and after, and what is lacking."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the roles ask: the network, the components by name, and what the capacitor couples."""

    bench: Bench
    network: Network
    pieces: Mapping[str, Piece]
    coupled: Coupling | None

    def end(self, ends: Ends, *kinds: str) -> Place:
        """The end that is, or is joined to, a place of one of some kinds."""
        return next(at for end in ends for at in self.network.joined_to(end) if at.kind in kinds)

    def say(self, place: Place) -> str:
        return place.name(self.bench.dialect)

    def values(self, elements: Sequence[Element], lacks: str) -> _Found:
        """The first element's resistance, or that of all side by side, as it was meant to be and as it is now."""
        found = [(e.name, self.pieces[e.name]) for e in elements if e.name in self.pieces]
        name = " with ".join(name for name, _ in found)
        before = [next((s.value for s in (p.sheet, p.was, p.now) if s and s.value), None) for _, p in found]
        after = [next((s.present for s in (p.now, p.was, p.sheet) if s and s.present), None) for _, p in found]
        known = bool(found) and None not in before and None not in after
        return name, _side_by_side(before), _side_by_side(after), "" if known else lacks


def _side_by_side(ohms: Sequence[float | None]) -> float | None:
    known = [value for value in ohms if value]
    if len(ohms) == 1:
        return ohms[0]
    return 1 / math.fsum(1 / value for value in known) if known and len(known) == len(ohms) else None


def _grid_leak(ends: Ends, asked: _Asked) -> _Found:
    grid = asked.coupled.grid if asked.coupled else asked.end(ends, "grid")
    lacks = f"a resistor from {asked.say(grid)} to B- or the chassis in the parts"
    return asked.values(asked.network.leaks(grid)[:1], lacks)


def _cathode(ends: Ends, asked: _Asked) -> _Found:
    cathode = asked.end(ends, "cathode")
    resistors = asked.network.to_common(cathode, RESISTOR)
    return asked.values(resistors[:1], f"the cathode resistor at {asked.say(cathode)} in the parts")


def _screen(ends: Ends, asked: _Asked) -> _Found:
    screen = asked.end(ends, "screen")
    feeds = [e for e in _fed_by_resistor(screen, asked) if asked.network.other_end(e, screen).kind == "B+"]
    return asked.values(feeds[:1], f"the resistor from B+ to {asked.say(screen)} in the parts")


def _avc(ends: Ends, asked: _Asked) -> _Found:
    resistors = asked.network.at(asked.end(ends, "AVC"), RESISTOR)
    return asked.values(resistors[:1], "the resistor that feeds the AVC line in the parts")


def _tone(ends: Ends, asked: _Asked) -> _Found:
    plate = asked.end(ends, "plate")
    load = asked.network.load(plate)
    lacks = (
        f"what loads {asked.say(plate)}: its resistor in the parts, a published load, or what its transformer matches"
    )
    if load is None:
        return "", None, None, lacks
    if load.how == "resistors":
        return asked.values(load.parts, lacks)
    name = f"{plate.tube}’s published load" if load.how == "published" else "what the output transformer matches"
    return name, load.ohms, load.ohms, ""


def _filter(ends: Ends, asked: _Asked) -> _Found:
    rail = asked.end(ends, "B+")
    feeds = [e for e in _fed_by_resistor(rail, asked) if _comes_before(asked.network.other_end(e, rail), rail)]
    lacks = f"a resistor that feeds {asked.say(rail)} from another rail; a first capacitor has none"
    return asked.values(feeds[:1], lacks)


def _comes_before(other: Place, rail: Place) -> bool:
    return other.kind == "B+" and rail_order(other) < rail_order(rail)


def _fed_by_resistor(place: Place, asked: _Asked) -> list[Element]:
    return [element for element in asked.network.feeds(place) if element.kind == RESISTOR]


_RESISTOR: dict[str, Callable[[Ends, _Asked], _Found]] = {
    "coupling": _grid_leak,
    "cathode bypass": _cathode,
    "screen bypass": _screen,
    "AVC": _avc,
    "tone": _tone,
    "filter": _filter,
}
