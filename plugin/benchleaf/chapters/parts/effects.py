"""What a change of value does: corner frequency, time constant, loss at the line’s frequencies, before and after."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...circuit.in_place import in_place
from ...electrics.impedance import corner_frequency
from .coupling import Ends, Resistors, coupling_ends
from .terminals import COMMON, Terminal

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from ...circuit.in_place import InPlace
    from ...circuit.listed import Listed
    from ...circuit.pieces import Piece
    from ..bench import Bench


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


def effect(bench: Bench, listed: Listed, ends: Ends | None, resistors: Resistors) -> Effect | None:
    """The consequence of a new capacitor; None where none was fitted or its role is not one that is computed."""
    record = bench.record
    old, new = in_place(listed, "before"), in_place(listed, "after")
    if listed.piece.now is None or new.unit != "F" or not new.value or ends is None:
        return None
    role = role_of(listed.piece, ends)
    if not role:
        return None
    name, before, after, lacks = _RESISTOR[role](ends, resistors, bench)
    hertz = record.line.frequency.si if record.line and record.line.frequency else None
    if not after:
        if role == "filter":
            return None
        return Effect(role, name, line_hertz=hertz, lacks=lacks)
    at_line = hertz if role == "coupling" else None
    return Effect(role, name, _acting(_farads(old), before, at_line), _acting(new.value, after, at_line), hertz)


def _farads(old: InPlace) -> float | None:
    """The old capacitor's value; one that nobody wrote of is not taken for one like the new: nothing would change."""
    return old.value if old.unit == "F" and old.how != "assumed" else None


def _acting(farads: float | None, ohms: float | None, hertz: float | None) -> Acting | None:
    if not farads or not ohms:
        return None
    corner = corner_frequency(ohms, farads)
    losses = (_loss(corner, hertz), _loss(corner, 2 * hertz)) if hertz else None
    return Acting(farads, ohms, corner, ohms * farads, losses)


def _loss(corner: float, hertz: float) -> float:
    return round(10 * math.log10(1 + (corner / hertz) ** 2), 6)


def role_of(piece: Piece, ends: Ends) -> str:
    """The role whose consequence is computed, from where the part sits and from its job."""
    kinds = {ends[0].kind, ends[1].kind}
    job = piece.job.casefold()
    if coupling_ends(ends):
        return "coupling"
    if not kinds & COMMON and "tone" not in job:
        return ""
    if "AVC" in kinds:
        return "AVC"
    if "cathode" in kinds:
        return "cathode bypass"
    if "screen" in kinds:
        return "screen bypass"
    if "plate" in kinds and ("tone" in job or any(e.swings for e in ends)):
        return "tone"
    return "filter" if "B+" in kinds else ""


_Found = tuple[str, float | None, float | None, str]
"""The resistor's name, its ohms before and after, and what is lacking."""


def _at(place: Terminal, resistors: Resistors, wanted: Callable[[Terminal], bool]) -> Iterator[Listed]:
    for listed, ends in resistors:
        other = ends[1] if ends[0].is_at(place) else ends[0] if ends[1].is_at(place) else None
        if other is not None and wanted(other):
            yield listed


def _values(found: Iterator[Listed], lacks: str) -> _Found:
    listed = next(found, None)
    if listed is None:
        return "", None, None, lacks
    before, after = in_place(listed, "before").value, in_place(listed, "after").value
    return listed.name, before, after, "" if after else lacks


def _end(ends: Ends, *kinds: str) -> Terminal:
    return next(e for e in ends if e.kind in kinds)


def _grid_leak(ends: Ends, resistors: Resistors, bench: Bench) -> _Found:
    grid = _end(ends, "grid")
    leaks = _at(grid, resistors, lambda e: e.kind in COMMON)
    return _values(leaks, f"a resistor from {grid.written} to B- or the chassis in the parts")


def _cathode(ends: Ends, resistors: Resistors, bench: Bench) -> _Found:
    cathode = _end(ends, "cathode")
    return _values(
        _at(cathode, resistors, lambda e: e.kind in COMMON), f"the cathode resistor at {cathode.written} in the parts"
    )


def _screen(ends: Ends, resistors: Resistors, bench: Bench) -> _Found:
    screen = _end(ends, "screen")
    feeds = _at(screen, resistors, lambda e: e.kind == "B+")
    return _values(feeds, f"the resistor from B+ to {screen.written} in the parts")


def _avc(ends: Ends, resistors: Resistors, bench: Bench) -> _Found:
    avc = _end(ends, "AVC")
    return _values(_at(avc, resistors, lambda e: True), "the resistor that feeds the AVC line in the parts")


def _tone(ends: Ends, resistors: Resistors, bench: Bench) -> _Found:
    plate = _end(ends, "plate")
    tube = bench.tubes.get(plate.tube)
    load = next((t.load_ohms for t in tube.typical if t.load_ohms), None) if tube else None
    if load and plate.swings:
        return f"{plate.tube}’s published load", load, load, ""
    feeds = _at(plate, resistors, lambda e: e.kind == "B+")
    return _values(feeds, f"what loads {plate.written}: its resistor in the parts, or a published load")


def _filter(ends: Ends, resistors: Resistors, bench: Bench) -> _Found:
    rail = _end(ends, "B+")
    feeds = _at(rail, resistors, lambda e: e.kind == "B+" and e.key < rail.key)
    return _values(
        feeds, f"a resistor or field that feeds {rail.written} from another rail; a first capacitor has none"
    )


_RESISTOR: dict[str, Callable[[Ends, Resistors, Bench], _Found]] = {
    "coupling": _grid_leak,
    "cathode bypass": _cathode,
    "screen bypass": _screen,
    "AVC": _avc,
    "tone": _tone,
    "filter": _filter,
}
