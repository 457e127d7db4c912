"""The components of the parts list one by one: parts of one component, and the sections of cans."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from ..record.work_days import PART_DAYS
from .pieces import Piece, pieces_of
from .work import state_of

if TYPE_CHECKING:
    from ..record.model import Record
    from ..record.sections.parts import Part


@dataclass(frozen=True, slots=True)
class Listed:
    """One component's place in the parts list.

    ``name`` is what the record calls it (``R1``, ``C12 a``), ``part`` the part it belongs to, ``state`` how far the
    work on it has come. ``gone_with`` is True for an old component whose part has new ones of which the record does not
    say which stands for it: when they are in, it is out. The dates are those of the new component, None where not
    written; ``known_by`` is the day that something else tells of it, ``in_by`` that of the list of readings after the
    work, by which a new one was in where nothing says when it came, ``half_in_by`` that by which half of the new
    ones that have a day were in. ``took_place`` is True for a new one in the place
    of another that is gone: before its day there is none of it. ``times_at_work`` is what a field coil's ohms
    are when it is warm, over those it has cold.
    """

    name: str
    part: str
    piece: Piece
    state: str
    gone_with: bool = False
    ordered: datetime.date | None = None
    tested: datetime.date | None = None
    fitted: datetime.date | None = None
    checked: datetime.date | None = None
    known_by: datetime.date | None = None
    in_by: datetime.date | None = None
    half_in_by: datetime.date | None = None
    took_place: bool = False
    times_at_work: float = 1.0
    in_place: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """What ``circuit.in_place`` has found to be in this place, by when."""


def listed(record: Record) -> Mapping[str, tuple[Listed, ...]]:
    """Every component of the parts list by the name of its part, in the order written."""
    return {str(name): tuple(_of(str(name), part)) for name, part in record.parts.items()}


def _of(name: str, part: Part) -> list[Listed]:
    dates = {key: day for key in PART_DAYS if (day := getattr(part, key))}
    restuffed = any(component.restuffed for component in part.now)
    return [
        Listed(
            name=f"{name} {piece.section}".strip(),
            part=name,
            piece=piece,
            state=state_of(piece.state, piece, restuffed=restuffed, dates=dates),
            gone_with=not piece.paired and piece.now is None and bool(part.now),
            **dates,
        )
        for piece in pieces_of(part)
    ]
