"""What a record writes between two places: components of the parts list, of circuit changes and of the line side."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from ..record.line_items import listed as names_in
from ..record.place_words import B_MINUS, CHASSIS, folded
from ..record.sections.line_side import WIRE_WORDS
from .in_place import alike, in_place
from .listed import Listed
from .pieces import Piece, Seen, seen
from .places import Place, rail

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.changes import Change
    from ..record.sections.line_side import BarrierPart
    from ..record.text import Text
    from .places import Places

WINDING, RESISTOR, CAPACITOR = "winding", "resistor", "capacitor"
FUSE, WIRE, SWITCH = "fuse", "wire", "switch"

LINE_SIDE = "line side"
"""The part that a component written on the line side alone belongs to."""

_WINDING_NAME = re.compile(r"(?:L|T|CH)\s*\d", re.I)
_WINDING_JOB = re.compile(r"\b(?:transformer|choke|field|coil|winding)\b", re.I)
_RESISTOR_NAME = re.compile(r"V?R\s*\d", re.I)
_WINDING_TYPES = frozenset({"choke", "coil", "transformer"})
_SWITCH = re.compile(r"(?:S|SW|WS)\s*\d|.*\bswitch\b", re.I)
_FUSE = re.compile(r"F\s*\d|.*\bfuse\b", re.I)
_UNIT = r"(?:k\d{0,2}\s?(?:ohms?|Ω)?|k?Ω|ohms?\b|R\b)"
_MATCHES = re.compile(
    rf"(?P<primary>\d[\d.,]*(?P<of_primary>\s?{_UNIT})?)\s*(?:\bto\b|:|/)\s*(?P<secondary>[\d.,]+(?P<of_secondary>\s?{_UNIT})?)",
    re.I,
)
_LEAST_PRIMARY = 500.0
"""Ohms from which on a number without its unit can be nothing else: ``7000 to 6 ohms`` (common practice)."""


@dataclass(frozen=True)
class Element:
    """One component between two places; ``listed`` is what the record says of it: ask ``in_place`` what is there when.

    ``kind`` is ``resistor``, ``capacitor``, ``winding`` (a choke, field coil or transformer's winding, whatever its
    value is written in), ``fuse``, ``wire``, ``switch`` or empty. ``primary_ohms`` is the impedance that a transformer
    is said to match its speaker to, ``secondary_ohms`` that of the speaker it is made for. ``of_two`` marks one half of
    a winding from plate to plate.
    """

    kind: str
    ends: tuple[Place, Place]
    listed: Listed
    primary_ohms: float | None = None
    secondary_ohms: float | None = None
    of_two: bool = False

    @property
    def name(self) -> str:
        """What the record calls it: ``R1``, ``C12 a``."""
        return self.listed.name

    @property
    def job(self) -> str:
        return self.listed.piece.job


def elements_of(
    record: Record, places: Places, components: Sequence[Listed], points: Mapping[Place, Place]
) -> Iterator[Element]:
    """Every component that is written between two places: of the parts list, of circuit changes, of the line side.

    ``points`` maps places that wires join to the one that stands for them.
    """
    for _, of_part in groupby(components, key=lambda one: one.part):
        yield from _of_part(list(of_part), places)
    known = {folded(one.name): one for one in components}
    for name, change in record.changes.items():
        ends = _ends_of(change, record, known) if change.add else ()
        if ends:
            now = _first_of_kind(tuple(map(seen, change.add)))
            piece = Piece(ends=ends, was=Seen(condition="none"), now=now)
            one = Listed(str(name), str(name), piece, "added", fitted=change.date)
            yield Element(kind_of(str(name), "", (now,)), _read(ends, places), one)
    yield from _of_line_side(record, places, known, points)


def ends_of(piece: Piece, places: Places) -> tuple[Place, Place] | None:
    """The two places that a component lies between; None where they are not written."""
    return _read(piece.ends, places) if piece.ends else None


def _read(ends: tuple[str, str], places: Places) -> tuple[Place, Place]:
    return places.read(ends[0]), places.read(ends[1])


def _of_part(components: Sequence[Listed], places: Places) -> Iterator[Element]:
    """The elements of one part. Of a couplate only the capacitors are known to lie between the ends it is written with.

    What is inside of it is not written; a resistor in series with a capacitor passes no direct current.
    """
    kinds = {one.name: kind_of(one.name, one.piece.job, _components(one.piece)) for one in components}
    couplate = len({one.piece.ends for one in components}) == 1 and CAPACITOR in kinds.values()
    for one in components:
        ends, kind = ends_of(one.piece, places), kinds[one.name]
        if ends is None or (couplate and kind != CAPACITOR):
            continue
        matched = _matched_ohms(f"{one.piece.job}, {one.piece.note}") if kind == WINDING else (None, None)
        yield Element(kind, ends, one, *matched)


def _components(piece: Piece) -> tuple[Seen, ...]:
    return tuple(one for one in (piece.now, piece.was, piece.sheet) if one is not None)


def _first_of_kind(added: Sequence[Seen]) -> Seen:
    """Of several components that a change adds as one, the first capacitor, which no direct current passes."""
    return next((one for one in added if one.kind == CAPACITOR), added[0])


def across_places(change: Change) -> tuple[Text, ...]:
    """The two places a change lies across, ``V4 plate and B-``; none where it lies across a part."""
    names = tuple(names_in(change.across)) if change.across else ()
    return names if len(names) == 2 else ()


def _ends_of(change: Change, record: Record, known: Mapping[str, Listed]) -> tuple[str, str] | tuple[()]:
    """Where a change lies: between its own two places, or across those of a part or of one of its sections."""
    ends = change.between or across_places(change)
    if not ends and change.across:
        one, wanted = known.get(folded(change.across)), folded(change.across)
        part = next((part for name, part in record.parts.items() if folded(str(name)) == wanted), None)
        ends = (part.between if part else None) or ()
        if one is not None:
            return one.piece.ends or ()
    return (str(ends[0]), str(ends[1])) if ends else ()


def _of_line_side(
    record: Record, places: Places, known: Mapping[str, Listed], points: Mapping[Place, Place]
) -> Iterator[Element]:
    """What stands on the line side from B- to the chassis as it is now, but for what the parts list has there too.

    One that is named is the component of the parts list, which need not have ends of its own. Components in series lie
    between points of their own.
    """
    sides = record.line_side
    state = (sides.after or sides.before) if sides else None
    b_minus, chassis = rail(B_MINUS), rail(CHASSIS)

    def at(ends: Iterable[Place]) -> set[Place]:
        return {points.get(end, end) for end in ends}

    twins = [one for one in known.values() if at(ends_of(one.piece, places) or ()) == at((b_minus, chassis))]
    for number, chain in enumerate(_chains(state.b_minus_to_chassis if state else ()), 1):
        inner = [_inner_point(f"{number}.{n}") for n in range(1, len(chain))]
        for part, ends in zip(chain, pairwise([b_minus, *inner, chassis]), strict=True):
            element = _of_side(part, ends, known, after=bool(sides and sides.after))
            twin = next((one for one in twins if not inner and _is_one(element.listed, one)), None)
            if twin is None:
                yield element
            else:
                twins.remove(twin)


def _chains(parts: Iterable[BarrierPart]) -> list[list[BarrierPart]]:
    """The components in series, one list for each that stands beside the others."""
    chains: list[list[BarrierPart]] = []
    for part in parts:
        if part.condition == "none":
            continue
        if part.joint and chains:
            chains[-1].append(part)
        else:
            chains.append([part])
    return chains


def _is_one(written: Listed, twin: Listed) -> bool:
    """Whether what the line side has is a component of the parts list: by its name, or about the same value there."""
    return written is twin or (written.part == LINE_SIDE and alike(in_place(written, "now"), in_place(twin, "now")))


def _inner_point(number: str) -> Place:
    said = f"a point inside the line side ({number})"
    return Place("", said, word=said)


def _of_side(part: BarrierPart, ends: tuple[Place, Place], known: Mapping[str, Listed], *, after: bool) -> Element:
    one = known.get(folded(part.part)) if part.part else None
    if one is None:
        own = seen(part)
        piece = Piece(now=own) if after else Piece(was=own)
        name, state = f"{own.typed or part.part} of the {LINE_SIDE}", "added" if after else "looked at"
        one = Listed(name, LINE_SIDE, piece, state)
        if own.condition.casefold() in WIRE_WORDS:
            return Element(WIRE, ends, one)
    return Element(kind_of(one.name, one.piece.job, _components(one.piece)), ends, one)


def kind_of(name: str, job: str, components: Iterable[Seen]) -> str:
    """What sort of part it is: a resistance written of a winding does not make it a resistor."""
    components = tuple(components)
    kinds = {component.kind for component in components}
    types = {component.type.casefold() for component in components}
    if "capacitor" in kinds:
        return CAPACITOR
    by_job = _WINDING_JOB.search(job) and not _RESISTOR_NAME.match(name)
    if _WINDING_NAME.match(name) or by_job or types & _WINDING_TYPES or "inductor" in kinds:
        return WINDING
    if RESISTOR in kinds:
        return RESISTOR
    if _FUSE.match(name) or _FUSE.match(job):
        return FUSE
    return SWITCH if _SWITCH.match(name) or _SWITCH.match(job) else ""


def _matched_ohms(said: str) -> tuple[float | None, float | None]:
    """Both impedances of ``5 kohm to 3.2 ohm``; None where nothing is said so."""
    match = _MATCHES.search(said)
    if match is None or not (match["of_primary"] or match["of_secondary"]):
        return None, None
    secondary = _ohms_of(match["secondary"] if match["of_secondary"] else f"{match['secondary']} ohm")
    if match["of_primary"]:
        return _ohms_of(match["primary"]), secondary
    primary = _ohms_of(f"{match['primary']} ohm")
    return (primary, secondary) if primary and primary >= _LEAST_PRIMARY else (None, None)


def _ohms_of(written: str) -> float | None:
    from ..record.quantities import QuantityError, read_quantity

    try:
        return read_quantity(written.strip(), "resistance").si
    except QuantityError:
        return None
