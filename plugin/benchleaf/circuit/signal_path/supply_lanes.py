"""What feeds the stages: from the line or the batteries to B+, and to the heaters."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..heater_names import position
from .path_stage import HEATERS, SUPPLY, Lane, PathStage, PathTube

if TYPE_CHECKING:
    from .jobs_in_set import JobsInSet

_DROPPERS = ("resistance cord", "ballast", "barretter")
_BALLASTS = ("ballast", "barretter")


def supply_lanes(jobs: JobsInSet) -> Iterator[Lane]:
    """The row of B+ and that of the heaters, as far as the record tells of them."""
    supply = tuple(_supply(jobs))
    if supply:
        yield Lane(SUPPLY, supply)
    heaters = tuple(_heaters(jobs))
    if heaters:
        yield Lane(HEATERS, heaters)


def _supply(jobs: JobsInSet) -> Iterator[PathStage]:
    mains = jobs.circuit.mains
    rectifiers = tuple(_rectifier(jobs))
    if mains.power and mains.from_line:
        yield PathStage("line")
    if mains.on_batteries or mains.vibrator:
        yield PathStage("batteries")
    if mains.vibrator:
        yield _of_tubes(jobs, "vibrator") or PathStage("vibrator")
    if mains.double_wound or mains.vibrator:
        yield PathStage("transformer")
    elif mains.wound:
        yield PathStage("autotransformer")
    yield from rectifiers
    if rectifiers:
        yield PathStage("filter")
    if regulator := _of_tubes(jobs, "regulator"):
        yield regulator


def _rectifier(jobs: JobsInSet) -> Iterator[PathStage]:
    """What makes B+: a dry rectifier where one is in the set, which then does the work of the tube, or the tubes."""
    dry, doubler = jobs.circuit.dry_rectifier, bool(jobs.circuit.doubling)
    tubes = [
        w for w in jobs.works if w.key in ("rectifier", "doubler") and (dry is None or w.tube.position != dry.part)
    ]
    doubler = doubler or any(work.key == "doubler" for work in tubes)
    if dry is not None:
        at_tube = next((t for p, t in jobs.circuit.record.tubes.items() if str(p) == dry.part), None)
        own = (PathTube(dry.part, dry.type),) if at_tube else ()
        yield PathStage("doubler" if doubler else f"{dry.type} rectifier", own, () if at_tube else (dry.part,))
    elif tubes:
        found = {work.tube.position: work.tube for work in tubes}
        by_type = all(work.by_type for work in tubes)
        yield PathStage("doubler" if doubler else "rectifier", tuple(found.values()), by_type=by_type)


def _of_tubes(jobs: JobsInSet, key: str) -> PathStage | None:
    works = [work for work in jobs.works if work.key == key]
    return PathStage(key, tuple(work.tube for work in works)) if works else None


def _heaters(jobs: JobsInSet) -> Iterator[PathStage]:
    record, mains = jobs.circuit.record, jobs.circuit.mains
    written = record.heaters
    dropper = str(written.dropper.kind) if written and written.dropper else ""
    ballast = _of_tubes(jobs, "ballast")
    if ballast or dropper in _BALLASTS:
        yield ballast or PathStage("ballast")
    elif dropper:
        yield PathStage(dropper if dropper in _DROPPERS else "dropper")
    if mains.on_batteries:
        yield PathStage("filaments", parts=_string(jobs))
    elif mains.heaters_in_string or (written and written.order):
        yield PathStage("heater string", parts=_string(jobs))
    elif mains.double_wound or (written and written.windings):
        yield PathStage("heater winding")
    if written and written.pilot_lamp:
        yield PathStage("pilot lamp", parts=(str(written.pilot_lamp.type),))


def _string(jobs: JobsInSet) -> tuple[str, ...]:
    """The tubes of the string as far as their order is written."""
    written = jobs.circuit.record.heaters
    positions = [str(at) for at in jobs.circuit.record.tubes]
    named = [position(name, positions) for name in (written.order if written and written.order else ())]
    return tuple(name for name in named if name)
