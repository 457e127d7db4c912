"""The two halves of a winding from plate to plate: each lies between its plate and the centre tap, not side by side."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from .elements import WINDING, kind_of
from .listed import Listed
from .pieces import Seen

if TYPE_CHECKING:
    from .places import Places

_CENTRE = re.compile(r"\b(?:c\.?t\.?|cent(?:re|er)[ -]?tap)\s+(?:(?:goes|is)\s+)?(?:to|at|on)\s+(?P<at>[^,;]+)", re.I)


def halved(parts: Mapping[str, Sequence[Listed]], places: Places) -> Mapping[str, tuple[Listed, ...]]:
    """The components of the parts list, two values of one winding between two plates parted at its centre tap.

    That is where the part says so, ``ct to B+2``; else a point of its own.
    """
    return {name: _parted(name, tuple(of_part), places) for name, of_part in parts.items()}


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
