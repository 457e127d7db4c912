"""What a change of value does: corner frequency, time constant, loss at the line’s frequencies, before and after."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.elements import RESISTOR
from ...circuit.in_place import When, in_place
from ...circuit.places import COMMON, Place, rail_order
from ...electrics.impedance import corner_frequency
from ...report.amount import METER_TOLERANCE

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from ...circuit.elements import Element
    from ...circuit.in_place import InPlace
    from ...circuit.listed import Listed
    from ...circuit.network import Coupling, Network
    from ...circuit.pieces import Piece
    from ..bench import Bench
    from .judging import Ends


@dataclass(frozen=True, slots=True)
class Acting:
    """A capacitor with its resistor: farad, ohm, hertz, seconds; ``loss_decibels`` at the line frequency and twice it.

    The loss is that of the coupling or bypass; None where the role has none. ``tolerances`` say how far capacitor and
    resistor may be off as ratios, None where the record does not say.
    """

    farads: float
    ohms: float
    corner_hertz: float
    seconds: float
    loss_decibels: tuple[float, float] | None = None
    tolerances: tuple[float | None, float | None] = field(default=(None, None), metadata={"json": False})


@dataclass(frozen=True, slots=True)
class Effect:
    """What a replaced capacitor does in its place, with what was there before the work and what is there after it.

    ``role`` is ``coupling``, ``cathode bypass``, ``screen bypass``, ``tone``, ``AVC`` or ``filter``. ``lacks`` says
    what the record would have to give, where nothing could be computed.
    """

    role: str
    resistor: str = ""
    before: Acting | None = None
    after: Acting | None = None
    line_hertz: float | None = None
    lacks: str = field(default="", metadata={"json": False})


def effect(bench: Bench, listed: Listed, ends: Ends | None) -> Effect | None:
    """The consequence of a new capacitor; None where none was fitted or its role is not one that is computed."""
    network = bench.circuit.network
    old, new = in_place(listed, "before"), in_place(listed, "after")
    if listed.piece.now is None or new.unit != "F" or not new.value or ends is None:
        return None
    coupled = network.coupling(listed.name)
    role = "coupling" if coupled else role_of(listed.piece, ends, network)
    if not role:
        return None
    resistor, before, after, lacks = _RESISTOR[role](ends, _Asked(bench, network, coupled))
    hertz = bench.circuit.mains.hertz
    if not after.ohms:
        if role == "filter":
            return None
        return Effect(role, resistor, line_hertz=hertz, lacks=lacks)
    at_line = hertz if role == "coupling" else None
    return Effect(role, resistor, _acting(old, before, at_line), _acting(new, after, at_line), hertz)


def _acting(capacitor: InPlace, resistor: _Ohms, hertz: float | None) -> Acting | None:
    """None without both values. An old capacitor that nobody wrote of is not taken for one like the new: nothing would
    change."""
    farads, ohms = capacitor.value, resistor.ohms
    if not farads or not ohms or capacitor.unit != "F" or capacitor.how == "assumed":
        return None
    corner = corner_frequency(ohms, farads)
    losses = (_loss(corner, hertz), _loss(corner, 2 * hertz)) if hertz else None
    return Acting(farads, ohms, corner, ohms * farads, losses, (_tolerance(capacitor), resistor.tolerance))


def _tolerance(inside: InPlace) -> float | None:
    """How far a value may be off, as a ratio; None where the record does not say."""
    if inside.how == "measured":
        return METER_TOLERANCE
    return max(abs(inside.tolerance.low), abs(inside.tolerance.high)) if inside.tolerance else None


def _loss(corner: float, hertz: float) -> float:
    return round(10 * math.log10(1 + (corner / hertz) ** 2), 6)


def role_of(piece: Piece, ends: Ends, network: Network) -> str:
    """The role whose consequence is computed, from where the part sits and from its job."""
    # What is wired to the bottom of the supply is no electrode there: a cathode on the chassis has nothing to bypass.
    live = [end for end in ends if not network.is_common(end)]
    joined = [at for end in live for at in network.joined_to(end)]
    kinds, job = {at.kind for at in joined}, piece.job.casefold()
    below = len(live) < len(ends) or any(at.kind in COMMON for end in ends for at in network.joined_to(end))
    if not below and "tone" not in job:
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


@dataclass(frozen=True, slots=True)
class _Ohms:
    """What a capacitor works with at one time, and how far it may be off as a ratio; None where that is not known."""

    ohms: float | None = None
    tolerance: float | None = None


_BEFORE_AND_AFTER: tuple[When, ...] = ("before", "after")

_Found = tuple[str, _Ohms, _Ohms, str]
"""The name of what the capacitor works with, its ohms before and after, and what is lacking."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What the roles ask: the network, and what the capacitor couples."""

    bench: Bench
    network: Network
    coupled: Coupling | None

    def end(self, ends: Ends, *kinds: str) -> Place:
        """The end that is, or is joined to, a place of one of some kinds."""
        return next(at for end in ends for at in self.network.joined_to(end) if at.kind in kinds)

    def say(self, place: Place) -> str:
        return place.name(self.bench.words)

    def values(self, elements: Sequence[Element], lacks: str) -> _Found:
        """The first element's resistance, or that of all side by side, before the work and after it."""
        there = [element for element in elements if in_place(element.listed, "after").is_there] or elements
        name = " with ".join(element.name for element in there)
        before = _side_by_side([in_place(element.listed, "before") for element in elements])
        after = _side_by_side([in_place(element.listed, "after") for element in elements])
        return name, before, after, "" if after.ohms else lacks


def _side_by_side(resistors: Sequence[InPlace]) -> _Ohms:
    """All of them together are off by no more than the one that is off most; what is not there is none of them."""
    resistors = [one for one in resistors if one.is_there]
    known = [one.value for one in resistors if one.value]
    if not known or len(known) < len(resistors):
        return _Ohms()
    off = [tolerance for one in resistors if (tolerance := _tolerance(one)) is not None]
    together = known[0] if len(known) == 1 else 1 / math.fsum(1 / value for value in known)
    return _Ohms(together, max(off) if len(off) == len(resistors) else None)


def _grid_leak(ends: Ends, asked: _Asked) -> _Found:
    grid = asked.coupled.grid if asked.coupled else asked.end(ends, "grid")
    lacks = f"a resistor from {asked.say(grid)} to {asked.bench.words.b_minus} or the chassis in the parts"
    return asked.values(_one_after_the_other(asked.network.leaks(grid)), lacks)


def _one_after_the_other(leaks: Sequence[Element]) -> Sequence[Element]:
    """The first that was there before and the first that is there after: one may have come in place of the other."""
    firsts = (next((e for e in leaks if in_place(e.listed, when).is_there), None) for when in _BEFORE_AND_AFTER)
    return list(dict.fromkeys(e for e in firsts if e is not None))


def _cathode(ends: Ends, asked: _Asked) -> _Found:
    cathode = asked.end(ends, "cathode")
    resistors = asked.network.to_common(cathode, RESISTOR)
    return asked.values(resistors[:1], f"the cathode resistor at {asked.say(cathode)} in the parts")


def _screen(ends: Ends, asked: _Asked) -> _Found:
    screen = asked.end(ends, "screen")
    feeds = [e for e in _fed_by_resistor(screen, asked) if asked.network.other_end(e, screen).kind == "B+"]
    return asked.values(feeds[:1], f"the resistor from {asked.bench.words.b_plus} to {asked.say(screen)} in the parts")


def _avc(ends: Ends, asked: _Asked) -> _Found:
    resistors = asked.network.at(asked.end(ends, "AVC"), RESISTOR)
    return asked.values(resistors[:1], "the resistor that feeds the AVC line in the parts")


def _tone(ends: Ends, asked: _Asked) -> _Found:
    plate = asked.end(ends, "plate")
    load = asked.bench.circuit.load(plate)
    lacks = (
        f"what loads {asked.say(plate)}: its resistor in the parts, a published load, or what its transformer matches"
    )
    if load is None:
        return "", _Ohms(), _Ohms(), lacks
    if load.how == "resistors":
        before = asked.bench.circuit.load(plate, "before")
        return asked.values(tuple(dict.fromkeys((*load.parts, *(before.parts if before else ())))), lacks)
    others = {
        "published": f"{plate.tube}’s published load",
        "speaker": "what the speaker makes through its transformer",
    }
    name = others.get(load.how, "what the output transformer matches")
    return name, _Ohms(load.ohms), _Ohms(load.ohms), ""


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
