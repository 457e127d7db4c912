"""The two halves of a winding from plate to plate: each lies between its plate and the centre tap, not side by side."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING

from .elements import WINDING, Element, kind_of
from .listed import Listed
from .pieces import Piece, Seen

if TYPE_CHECKING:
    from .places import Place, Places

_CENTRE = re.compile(
    r"\b(?:c\.?\s?t\.?|(?:cent(?:re|er)|middle|mid)(?:[ -]?tap)?|tapp?(?:ed|ing)?)"
    r"\s+(?:(?:is|goes|to|at|on)\s+)*(?P<at>[^,;]+)",
    re.I,
)


def halved(parts: Mapping[str, Sequence[Listed]], places: Places) -> Mapping[str, tuple[Listed, ...]]:
    """The components of the parts list, two values of one winding between two plates parted at its centre tap.

    That is where the part says so, ``ct to B+2``; else a point of its own.
    """
    return {name: _parted(name, tuple(of_part), places) for name, of_part in parts.items()}


def with_halves(elements: Iterable[Element], places: Places) -> Iterator[Element]:
    """The elements of a set, each winding between two plates as its halves, which are marked as such.

    One of a single value is parted where its tap is said. Each half has half of its ohms: the two are wound alike.
    """
    for _, of_part in groupby(elements, key=lambda one: one.listed.part):
        together = list(of_part)
        one = together[0]
        if len(together) == 2 and _share_a_tap(together):
            yield from (replace(each, of_two=True) for each in together)
        elif len(together) == 1 and (ends := _ends_and_tap(one, places)):
            first, centre, last = ends
            halved = replace(one.listed, piece=_with_half_its_ohms(one.listed.piece))
            for side in ((first, centre), (centre, last)):
                yield replace(one, ends=side, listed=halved, of_two=True)
        else:
            yield from together


def both_halves(elements: Iterable[Element], part: str) -> tuple[Element, Element] | None:
    """The two halves of a part's winding, the outer ends first and last; None of any other part."""
    halves = [one for one in elements if one.of_two and one.listed.part == part]
    return (halves[0], halves[1]) if len(halves) == 2 else None


def _share_a_tap(two: Sequence[Element]) -> bool:
    """Whether two windings of one part lie between a plate each and the point that is common to both."""
    (one, other), (another, last) = (element.ends for element in two)
    plates = {one.kind, last.kind} == {"plate"} and one != last
    return plates and other == another and all(element.kind == WINDING for element in two)


def _ends_and_tap(one: Element, places: Places) -> tuple[Place, Place, Place] | None:
    """Both plates of a winding and its tap between them; None of any other element, or where no tap is said."""
    said = _CENTRE.search(f"{one.job} ; {one.listed.piece.note}")
    first, last = one.ends
    if said is None or one.kind != WINDING or first == last or {first.kind, last.kind} != {"plate"}:
        return None
    centre = places.read(said["at"].strip())
    return (first, centre, last) if centre.kind else None


def _with_half_its_ohms(piece: Piece) -> Piece:
    now, was, sheet = (_half(seen) if seen else None for seen in (piece.now, piece.was, piece.sheet))
    return replace(piece, now=now, was=was, sheet=sheet)


def _half(seen: Seen) -> Seen:
    return replace(
        seen,
        value=_halved(seen.value),
        measured=_halved(seen.measured),
        value_range=_ends_halved(seen.value_range),
        measured_range=_ends_halved(seen.measured_range),
    )


def _halved(ohms: float | None) -> float | None:
    return None if ohms is None else ohms / 2


def _ends_halved(ohms: tuple[float, float] | None) -> tuple[float, float] | None:
    return None if ohms is None else (ohms[0] / 2, ohms[1] / 2)


def _parted(name: str, of_part: tuple[Listed, ...], places: Places) -> tuple[Listed, ...]:
    if len(of_part) != 2 or not _is_plate_to_plate(of_part, places):
        return of_part
    ends = of_part[0].piece.ends
    assert ends is not None
    said = _CENTRE.search(" ; ".join(one.piece.note for one in of_part))
    centre = said["at"].strip() if said else f"{name} centre tap"
    first, last = of_part
    return (
        replace(first, piece=replace(first.piece, ends=(ends[0], centre))),
        replace(last, piece=replace(last.piece, ends=(centre, ends[1]))),
    )


def _is_plate_to_plate(of_part: Sequence[Listed], places: Places) -> bool:
    """Whether all components of a part are windings between the plates of the same two tubes or sections."""
    ends = {one.piece.ends for one in of_part}
    pair = ends.pop()
    if ends or pair is None:
        return False
    one, other = (places.read(end) for end in pair)
    windings = all(kind_of(each.name, each.piece.job, _seen(each)) == WINDING for each in of_part)
    return windings and one != other and {one.kind, other.kind} == {"plate"}


def _seen(one: Listed) -> tuple[Seen, ...]:
    return tuple(seen for seen in (one.piece.now, one.piece.was, one.piece.sheet) if seen is not None)
