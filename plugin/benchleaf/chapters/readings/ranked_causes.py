"""What may be behind a run's readings: causes ranked by trying each fault, those alike together, what to read next."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

FITS_BEST, LIKELY, POSSIBLE, CANNOT_TELL = "fits best", "likely", "possible", "cannot tell"
SET_ON, SET_OFF, LIFT_AN_END, ANOTHER_TUBE = "set on", "set off", "lift an end", "another tube"

MOST_CAUSES = 3
"""Causes told of one run: more are no help in deciding what to measure."""

_PAGE: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class RankedCause:
    """One cause. ``subject`` is the part, the tube or ``line``; None where nothing is wrong.

    ``said`` is ``fits best``, ``likely``, ``possible`` or ``cannot tell``; ``alike`` are the subjects that make about
    the same readings. ``cause`` and ``then`` are its words and its next measurement; ``measured`` says that a meter
    found the part bad; ``after`` what the part became later, where that is written.
    """

    subject: str | None
    fault: str
    said: str
    alike: tuple[str, ...] = ()
    cause: str = field(default="", metadata=_PAGE)
    then: str = field(default="", metadata=_PAGE)
    measured: bool = field(default=False, metadata=_PAGE)


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """What to measure next: a place, part or tube, and ``set on``, ``set off``, ``lift an end`` or ``another tube``."""

    place: str
    how: str


@dataclass(frozen=True, slots=True)
class RunCauses:
    """The causes of one run. ``no_single_fault`` is a hint: two faults, a misread place, or a part not in the list.

    ``apart`` says in words what tells the first from those alike; ``read`` how many readings went in.
    """

    run: str
    ranked: tuple[RankedCause, ...]
    no_single_fault: bool
    next: tuple[NextMeasurement, ...]
    read: int = field(default=0, metadata=_PAGE)
    apart: str = field(default="", metadata=_PAGE)

    @property
    def first(self) -> RankedCause | None:
        """The likeliest, nothing wrong among them."""
        return self.ranked[0] if self.ranked else None

    @property
    def accused(self) -> tuple[RankedCause, ...]:
        """The causes that are one: without the one that nothing is wrong."""
        return tuple(cause for cause in self.ranked if cause.subject is not None)
