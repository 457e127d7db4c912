"""What a record writes between two places: each part, section of a can and part that a change added, with its ends."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..record.lines import listed
from ..record.sections.parts import Component, Part, PartSection

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.changes import Change
    from ..record.text import Text
    from .places import Place, Places

WINDING, RESISTOR, CAPACITOR, FUSE = "winding", "resistor", "capacitor", "fuse"

TIGHT_OHMS = 1e9
"""A capacitor measured at this much or more puts less than 0.1 V on a grid leak of 0.5 megohm at 200 V."""

_WINDING_NAME = re.compile(r"(?:L|T|CH)\s*\d", re.I)
_WINDING_JOB = re.compile(r"\b(?:transformer|choke|field|coil|winding)\b", re.I)
_RESISTOR_NAME = re.compile(r"V?R\s*\d", re.I)
_WINDING_TYPES = frozenset({"choke", "coil", "transformer"})
_FUSE = re.compile(r"F\s*\d|.*\bfuse\b", re.I)
_MATCHES = re.compile(r"(?P<primary>\d[\d.,]*\s*[a-zA-ZΩ]*)\s+(?:to|:)\s+[\d.,]+\s*(?:ohms?|Ω)", re.I)


@dataclass(frozen=True)
class Element:
    """One part, or one section of a can, between two places.

    ``kind`` is ``resistor``, ``capacitor``, ``winding`` (a choke, field coil or transformer's winding, whatever its
    value is written in), ``fuse`` or empty. ``sheet``, ``was`` and ``now`` are its components as written; ``fitted`` is
    the day the new one went in. ``primary_ohms`` is the impedance that a transformer is said to match its speaker to;
    ``added`` marks a part of the circuit changes, in whose place nothing was before.
    """

    name: str
    kind: str
    ends: tuple[Place, Place]
    job: str = ""
    sheet: tuple[Component, ...] = ()
    was: tuple[Component, ...] = ()
    now: tuple[Component, ...] = ()
    fitted: datetime.date | None = None
    primary_ohms: float | None = None
    added: bool = False

    def in_place(self, date: datetime.date | None) -> Component | None:
        """The component in the set on ``date``; without one, or without a day of fitting, the new one."""
        old = self.was[0] if self.was else None
        new = self.now[0] if self.now else None
        before = date is not None and self.fitted is not None and date < self.fitted
        return old if before or new is None else new


def elements_of(record: Record, places: Places) -> Iterator[Element]:
    """Every part of a record that is written between two places, those of the circuit changes last."""
    for name, part in record.parts.items():
        if part.between and not part.sections:
            yield _element(str(name), part, part, (part.sheet, part.was, part.now), places)
        for number, (key, section) in enumerate(part.sections.items()):
            if section.between or part.between:
                yield _element(f"{name} {key}", section, part, _components(section, part, number), places)
    for name, change in record.changes.items():
        ends = _ends_of(change, record, places) if change.add else None
        if ends:
            kind = kind_of(str(name), "", change.add)
            yield Element(str(name), kind, ends, now=change.add, fitted=change.date, added=True)


def across_places(change: Change) -> tuple[Text, ...]:
    """The two places a change lies across, ``V4 plate and B-``; none where it lies across a part."""
    names = tuple(listed(change.across)) if change.across else ()
    return names if len(names) == 2 else ()


def _ends_of(change: Change, record: Record, places: Places) -> tuple[Place, Place] | None:
    """Where a change lies: between its own two places, or across those of a part or of one of its sections."""
    ends = change.between or across_places(change)
    if not ends and change.across:
        name, _, key = str(change.across).partition(" ")
        part = next((part for known, part in record.parts.items() if known == name), None)
        section = next((s for known, s in part.sections.items() if known == key.strip()), None) if part else None
        ends = (section.between if section else None) or (part.between if part else None) or ()
    return (places.read(ends[0]), places.read(ends[1])) if ends else None


_Components = tuple[tuple[Component, ...], tuple[Component, ...], tuple[Component, ...]]
"""Sheet, was, now."""


def _components(section: PartSection, part: Part, number: int) -> _Components:
    """A section's own components, or its share of those written for the whole can where their numbers agree."""
    count = len(part.sections)
    sheet, was, now = (
        own[:1] or (common[number : number + 1] if len(common) == count else ())
        for own, common in ((section.sheet, part.sheet), (section.was, part.was), (section.now, part.now))
    )
    return sheet, was, now


def _element(name: str, piece: Part | PartSection, part: Part, components: _Components, places: Places) -> Element:
    job = str(piece.job or part.job or "")
    one, other = (places.read(end) for end in piece.between or part.between or ())
    sheet, was, now = components
    kind = kind_of(name, job, (*now, *was, *sheet))
    primary = _primary_ohms(f"{job}, {piece.note or ''}") if kind == WINDING else None
    return Element(name, kind, (one, other), job, sheet, was, now, part.fitted, primary)


def kind_of(name: str, job: str, components: tuple[Component, ...]) -> str:
    """What sort of part it is: a resistance written of a winding does not make it a resistor."""
    kinds = {component.kind for component in components}
    types = {str(component.type or "").casefold() for component in components}
    if "capacitor" in kinds:
        return CAPACITOR
    by_job = _WINDING_JOB.search(job) and not _RESISTOR_NAME.match(name)
    if _WINDING_NAME.match(name) or by_job or types & _WINDING_TYPES or "inductor" in kinds:
        return WINDING
    if RESISTOR in kinds:
        return RESISTOR
    return FUSE if _FUSE.match(name) or _FUSE.match(job) else ""


def is_tight(component: Component | None) -> bool:
    """Whether a capacitor was measured and does not leak."""
    leakage = component.leakage if component else None
    if leakage is None:
        return False
    if leakage.ohms and leakage.ohms.si is not None:
        return bool(leakage.ohms.si >= TIGHT_OHMS)
    amps, volts = leakage.current, leakage.at
    if amps is None or amps.si is None or volts is None or not volts.si:
        return False
    return bool(amps.si * TIGHT_OHMS <= volts.si)


def _primary_ohms(said: str) -> float | None:
    """The first impedance of ``5 kohm to 3.2 ohm``; None where nothing is said so."""
    from ..record.quantities import QuantityError, read_quantity

    match = _MATCHES.search(said)
    if match is None:
        return None
    try:
        return read_quantity(match["primary"].strip(), "resistance").si
    except QuantityError:
        return None
