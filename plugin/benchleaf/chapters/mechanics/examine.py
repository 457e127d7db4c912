"""What follows from the dial cord's route, and what was found and done at cabinet and mechanics."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...record.figures import to_figures
from ...record.sections.mechanics import stop_of
from ..bench import Bench


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop of the cord: ``metres`` is its diameter."""

    kind: str
    said: str
    metres: float | None
    times_round: float | None


@dataclass(frozen=True, slots=True)
class FittingFound:
    """One thing by its name: how it was found, what was done, with what; ``pictured`` where photos have its name."""

    name: str
    found: str
    did: str
    material: str
    note: str
    pictured: bool


@dataclass(frozen=True, slots=True)
class MechanicsFindings:
    """``knob_turns_ratio`` turns of the knob move the drum by half a turn, as a gang needs.

    ``wound_metres`` of cord lie round what has a size and turns.
    """

    stops: tuple[Stop, ...]
    knob_turns_ratio: float | None
    wound_metres: float | None
    fittings: tuple[FittingFound, ...]


def examine(bench: Bench) -> MechanicsFindings | None:
    """The findings; None where nothing is written of the mechanics."""
    written = bench.record.mechanics
    if written is None or not (written.dial_cord or written.fittings):
        return None
    stops = tuple(Stop(*stop) for text in written.dial_cord if (stop := stop_of(text)))
    drum, shaft = (next((s.metres for s in stops if s.kind == kind and s.metres), None) for kind in ("drum", "shaft"))
    wound = [math.pi * s.metres * s.times_round for s in stops if s.metres and s.times_round]
    photos = {str(name).casefold() for name in bench.record.photos}
    fittings = tuple(
        FittingFound(
            str(name),
            str(one.found or ""),
            str(one.did or ""),
            str(one.material or ""),
            str(one.note or ""),
            pictured=str(name).casefold() in photos,
        )
        for name, one in written.fittings.items()
    )
    return MechanicsFindings(
        stops,
        to_figures(drum / (2 * shaft), 2) if drum and shaft else None,
        to_figures(math.fsum(wound), 2) if wound else None,
        fittings,
    )
