"""What a tube that only the record describes is, where its job or the winding behind it leaves no doubt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..heater_names import fed_by
from ..rectifier_feed import FULL_WAVE, MORE_THAN_HEATERS
from ..tube_jobs.read_jobs import jobs_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from ...record.model import Record
    from ...record.sections.heaters import Winding
    from ...record.sections.line_up import FittedTube

_RECTIFIES = frozenset({"rectifier", "doubler"})


def role_of_described(record: Record, position: str, written: FittedTube) -> str | None:
    """The role in the words of ``roles.csv``; None where nothing but a maker's sheet could tell it.

    A tube is a rectifier by its job, or where none is written because a winding of more volts than any heater's is said
    to feed it. It has two plates by its pins, by the winding's halves or by its job.
    """
    winding = _high_winding(record, position)
    keys = {job.key for job in jobs_of(str(written.job or ""), None).jobs}
    if not (keys <= _RECTIFIES if keys else winding is not None and not written.job):
        return None
    pins = [key for pin in written.pins or () for key in str(pin).split("+")]
    plates, cathodes = _of("a", pins), _of("k", pins)
    if len(plates) > 1:
        return "twin rectifier" if len(cathodes) > 1 else "full-wave rectifier"
    halves = winding is not None and winding.halves is not None
    both = halves or FULL_WAVE.search(str(written.job or ""))
    return "full-wave rectifier" if both and not plates else "half-wave rectifier"


def _of(letter: str, keys: Collection[str]) -> set[str]:
    return {key for key in keys if key[:1] == letter and (key[1:].isdigit() or not key[1:])}


def _high_winding(record: Record, position: str) -> Winding | None:
    """The winding of hundreds of volts that is said to feed a tube."""
    positions = [str(p) for p in record.tubes]
    for winding in record.heaters.windings.values() if record.heaters else ():
        fed = fed_by(str(winding.feeds), positions, ())[0] if winding.feeds else []
        if (winding.volts.si or 0.0) > MORE_THAN_HEATERS and fed == [position]:
            return winding
    return None
