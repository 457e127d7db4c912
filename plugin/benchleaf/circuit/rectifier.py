"""What B+ hangs on besides the rectifier tube: a dry rectifier, a doubler, an output stage that draws nothing."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.place_words import B_PLUS
from .elements import CAPACITOR, RESISTOR
from .in_place import AsFound, When, in_place

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.line_up import ChangedTube
    from ..tubes import Tube
    from .elements import Element
    from .listed import Listed
    from .network import Network

DRY_DROP_VOLTS = {"silicon": 1.0, "selenium": 5.0}
"""Forward drop of a silicon diode, and of a selenium stack for the line (from memory)."""

SELENIUM_PLATE_VOLTS = 1.0
"""Forward drop of one plate of a selenium stack at its rated current, more with age (common practice, no source)."""

WIRING_OHMS = 10.0
"""Line, switch and wiring before a rectifier without transformer (common practice, no source)."""
WINDING_OHMS = 150.0
"""Half a high-voltage winding with its share of the primary, as much of it each (common practice, no source)."""
TAP_OHMS = 20.0
"""Heater tap and lamp that the plate current passes (47 lamp and tap of 40 ohm each side by side: computed)."""

RESERVOIR_FARADS = 1e-6
"""From here on a capacitor stores for B+ (common practice, no source)."""

DRY = tuple(DRY_DROP_VOLTS)

_DRY = re.compile("|".join(DRY), re.I)
_BRIDGE = re.compile(r"\bbridge|\bgraetz|br[uü]cke|\bbrug|\bB ?\d{2,3} ?C ?\d", re.I)
"""Four arms in one: by its name, or by the German code of a stack, ``B250 C85`` (B for Brücke; from memory)."""
_PLATES = re.compile(r"(?<![\d.])(?P<plates>\d{1,2})[- ]?(?:plates?|cells?|fins?|discs?)\b", re.I)
_RECTIFIES = re.compile(r"rectif|gleichricht|gelijkricht", re.I)
_RECTIFIER_NAME = re.compile(r"(?:CR|SR|MR|GL|GR|RECT?|SEL|RX)\s?\d*\Z", re.I)
"""What drawings call a dry rectifier that does no other job than to feed the set."""
_SILICON_DIODE = re.compile(r"\b1N(?:400\d|540\d)|\bBY ?1\d\d", re.I)
"""Type numbers of silicon rectifier diodes (from memory)."""


@dataclass(frozen=True, slots=True)
class DryRectifier:
    """A rectifier without heater that is in the set: its part, ``silicon`` or ``selenium``, and whether a bridge.

    ``plates`` are those of a selenium stack in series, None where they are not written.
    """

    part: str
    type: str
    bridge: bool = False
    plates: int | None = None

    @property
    def drop_volts(self) -> float:
        """The drop on the way of the current, in volts: of a bridge two of its arms conduct in series."""
        if self.plates and self.type == "selenium":
            return self.plates * SELENIUM_PLATE_VOLTS
        return DRY_DROP_VOLTS[self.type] * (2 if self.bridge else 1)


def dry_rectifier(record: Record, components: Iterable[Listed], when: When = "now") -> DryRectifier | None:
    """The silicon or selenium rectifier in the set at a time; None where a tube does the work.

    It is a part of that type with that job, a bridge, or a tube position that was changed to one or is written as one.
    """
    for one in components:
        if dry := _dry_part(one, when):
            return dry
    sides = {str(p): c.was if _is_before(c, when) else c.now for p, c in record.changed_tubes.items()}
    changed = {position: str(side.type) for position, side in sides.items() if side}
    fitted = {str(p): str(t.type) for p, t in record.tubes.items()} | changed
    return next((DryRectifier(p, found[0].casefold()) for p, t in fitted.items() if (found := _DRY.match(t))), None)


def _is_before(change: ChangedTube, when: When) -> bool:
    """Whether a time lies before an exchange; of one without a date only what is said to be before the work."""
    if isinstance(when, AsFound):
        return when.day is None or change.date is None or when.day <= change.date
    if isinstance(when, datetime.date):
        return change.date is not None and when < change.date
    return when == "before"


def _dry_part(one: Listed, when: When) -> DryRectifier | None:
    inside, piece = in_place(one, when), one.piece
    if not (inside.which and inside.is_there):
        return None
    said = f"{inside.seen.typed} {inside.seen.note}"
    kind = inside.seen.type.casefold() or ("silicon" if _SILICON_DIODE.search(said) else "")
    if kind not in DRY:
        return None
    bridge = bool(_BRIDGE.search(f"{piece.job} {piece.note} {said} {piece.was.note if piece.was else ''}"))
    by_name = not piece.job and _RECTIFIER_NAME.match(one.part) is not None
    if not (bridge or by_name or _RECTIFIES.search(piece.job)):
        return None
    plates = _PLATES.search(said) if kind == "selenium" and not bridge else None
    return DryRectifier(one.name, kind, bridge, int(plates["plates"]) if plates else None)


def doubling(record: Record, components: Iterable[Listed], network: Network) -> str:
    """``cascade doubler``, ``doubler`` or empty: by jobs of parts and tubes, or a large capacitor from line to rail."""
    jobs = [one.piece.job.casefold() for one in components]
    jobs += [str(tube.job or "").casefold() for tube in record.tubes.values()]
    if any("cascade doubler" in job or "series doubler" in job for job in jobs):
        return "cascade doubler"
    return "doubler" if any("doubl" in job for job in jobs) or any(map(_lifts, network.elements)) else ""


def _lifts(element: Element) -> bool:
    """Whether a capacitor holds a rail above an end of the line or winding, as only a doubler's does."""
    kinds = {end.kind for end in element.ends}
    if element.kind != CAPACITOR or B_PLUS not in kinds or not kinds & {"line", "neutral", "AC"}:
        return False
    value = in_place(element.listed, "now").value
    return value is not None and value >= RESERVOIR_FARADS


def dead_output_part(network: Network, tubes: Mapping[str, Tube]) -> str:
    """The open part, still in the set, for which no output tube draws current; empty where one may."""
    outputs = [position for position, tube in tubes.items() if "output" in (tube.role or "")]
    dead = [_open_at(position, network) for position in outputs]
    return dead[0] if dead and all(dead) else ""


def _open_at(position: str, network: Network) -> str:
    for group in (tuple(_cathode_resistors(position, network)), tuple(_plate_feeds(position, network))):
        if group and all(in_place(element.listed, "now").condition == "open" for element in group):
            return group[0].name
    return ""


def _cathode_resistors(position: str, network: Network) -> Iterator[Element]:
    for element in network.elements:
        for one, other in (element.ends, element.ends[::-1]):
            if element.kind == RESISTOR and (one.tube, one.kind) == (position, "cathode") and network.is_common(other):
                yield element


def _plate_feeds(position: str, network: Network) -> Iterator[Element]:
    plates = {
        end for element in network.elements for end in element.ends if (end.tube, end.kind) == (position, "plate")
    }
    for plate in sorted(plates, key=str):
        yield from network.feeds(plate)
