"""What an output or other tube had to bear in an earlier list of readings, and does no more."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...record.units import say
from ...report.sentence import Sentence
from ...report.verdict import Verdict

if TYPE_CHECKING:
    from ...circuit.operating import Operating
    from ..bench import Bench
    from .findings import ReadingsFindings

__all__ = ["over_as_found"]


def over_as_found(findings: ReadingsFindings, bench: Bench) -> Iterator[Sentence]:
    """One sentence for each plate that turned more into heat than its rating in an earlier list, and less since.

    Where a share of the cathode's current was assumed, its likeliest heat counts, and its range is told.
    """
    for name, now in findings.operating.items():
        then = next((point for point in findings.earlier_points(name) if _is_over(point)), None)
        if then is not None and now.plate_watts is not None and not _is_over(now):
            yield Sentence(Verdict.PUT_RIGHT, _said(name, then, now, bench), "voltages-operating")


def _is_over(point: Operating) -> bool:
    most, watts = point.max_plate_watts, point.plate_watts
    return point.plate_over or (most is not None and watts is not None and watts > most)


def _said(name: str, then: Operating, now: Operating, bench: Bench) -> str:
    low, high = then.plate_watts_low, then.plate_watts_high
    about = "" if then.plate_over else "about "
    unsure = "" if then.plate_over or low is None else f" ({say(low, 'W')} to {say(high, 'W')})"
    amps = f" at {say(then.cathode_amps, 'A')} through its cathode" if then.cathode_amps is not None else ""
    return (
        f"{name} {bench.words.plate} turned {about}{say(then.plate_watts, 'W')}{unsure} into heat{amps}; "
        f"its rating is {say(then.max_plate_watts, 'W')} ({then.run}), and it was {say(now.plate_watts, 'W')} "
        f"later ({now.run})."
    )
