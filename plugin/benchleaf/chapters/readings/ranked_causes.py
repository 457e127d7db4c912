"""What may be behind a run's readings: causes ranked by trying each fault, those alike together, what to read next."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

FITS_BEST, LIKELY, POSSIBLE, CANNOT_TELL = "fits best", "likely", "possible", "cannot tell"
SAID = (FITS_BEST, LIKELY, POSSIBLE, CANNOT_TELL)
SET_ON, SET_OFF, LIFT_AN_END, ANOTHER_TUBE = "set on", "set off", "lift an end", "another tube"

MOST_CAUSES = 3
"""Causes told of one run, and of one tube: more are no help in deciding what to measure next."""

_PAGE: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class RankedCause:
    """One cause. ``subject`` is the part, the tube or ``line``; None where nothing is wrong.

    ``said`` is ``fits best``, ``likely``, ``possible`` or ``cannot tell``; ``alike`` are the subjects that make about
    the same readings. Of the places that read other than a sound set would, ``explains`` are those that it makes so and
    ``leaves`` those that it does not; ``by_others`` are those that go with parts which a meter has found off.
    ``together`` are other parts that a meter has found bad, with which it explains most; ``against`` the cathodes that
    speak against it. ``cause``
    and ``then`` are its words and its next measurement; ``tubes`` are the positions that it lies at, ``source`` is
    where the words come from.
    """

    subject: str | None
    fault: str
    said: str
    alike: tuple[str, ...] = ()
    explains: tuple[str, ...] = ()
    leaves: tuple[str, ...] = ()
    cause: str = field(default="", metadata=_PAGE)
    then: str = field(default="", metadata=_PAGE)
    tubes: tuple[str, ...] = field(default=(), metadata=_PAGE)
    source: str = field(default="", metadata=_PAGE)
    by_others: tuple[tuple[str, tuple[str, ...]], ...] = field(default=(), metadata=_PAGE)
    together: tuple[str, ...] = field(default=(), metadata=_PAGE)
    against: tuple[str, ...] = field(default=(), metadata=_PAGE)

    @property
    def suspect(self) -> bool:
        """Whether it is more than one among many."""
        return self.subject is not None and self.said != CANNOT_TELL


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """What to measure next: a place, part or tube, and ``set on``, ``set off``, ``lift an end`` or ``another tube``.

    ``step`` says what to do.
    """

    place: str
    how: str
    step: str = field(default="", metadata=_PAGE)


@dataclass(frozen=True, slots=True)
class RunCauses:
    """The causes of one run. ``no_single_fault`` is a hint: two faults, a misread place, or a part not in the list.

    ``apart`` says in words what tells the first from those alike; ``read`` how many readings went in. ``covered`` are
    the tubes and rails that the network has whole, of which the rules need not speak. ``settled`` names the later run
    that finds nothing wrong, empty where there is none; ``replaced`` says that the suspect is in the set no more.
    ``in_order`` says that every reading which is held to a value lies within its band: then no cause is told, however
    well it fits. ``makes_part`` has what meters have found bad in words, with the odd readings of which each makes a
    part and no more. ``lead`` and ``brief`` say what it comes to, ``flag`` what the hint means.
    """

    run: str
    ranked: tuple[RankedCause, ...]
    no_single_fault: bool
    next: tuple[NextMeasurement, ...]
    read: int = field(default=0, metadata=_PAGE)
    apart: str = field(default="", metadata=_PAGE)
    covered: tuple[str, ...] = field(default=(), metadata=_PAGE)
    settled: str = field(default="", metadata=_PAGE)
    in_order: bool = field(default=False, metadata=_PAGE)
    lead: str = field(default="", metadata=_PAGE)
    brief: str = field(default="", metadata=_PAGE)
    flag: str = field(default="", metadata=_PAGE)
    replaced: bool = field(default=False, metadata=_PAGE)
    makes_part: tuple[tuple[str, tuple[str, ...]], ...] = field(default=(), metadata=_PAGE)

    @property
    def past(self) -> bool:
        """Whether what it tells of was put right since."""
        return bool(self.settled or self.replaced)

    @property
    def told_afterwards(self) -> bool:
        """Whether it is told beside a newer run: put right since, or with a suspect that is more than possible."""
        return bool(self.settled or (self.suspect and self.suspect.said in (FITS_BEST, LIKELY)))

    @property
    def others(self) -> tuple[RankedCause, ...]:
        """The causes beside the first that are more than one among many, and explain what is off."""
        return tuple(cause for cause in self.accused[1:] if cause.suspect and cause.explains) if self.suspect else ()

    @property
    def first(self) -> RankedCause | None:
        """The likeliest, nothing wrong among them."""
        return self.ranked[0] if self.ranked else None

    @property
    def accused(self) -> tuple[RankedCause, ...]:
        """The causes that are one: without the one that nothing is wrong."""
        return tuple(cause for cause in self.ranked if cause.subject is not None)

    @property
    def told(self) -> bool:
        """Whether its causes are told one by one: not of readings in order, nor where no fault explains them best."""
        return not (self.in_order or self.sound)

    @property
    def sound(self) -> bool:
        """Whether nothing wrong comes first and explains the readings."""
        return self.first is not None and self.first.subject is None and not self.no_single_fault

    @property
    def suspect(self) -> RankedCause | None:
        """The first cause, where it is more than one among many."""
        return self.first if self.first is not None and self.first.suspect and not self.in_order else None

    def about(self, tube: str) -> RankedCause | None:
        """The suspect, where it lies at a tube."""
        return self.suspect if self.suspect is not None and tube in self.suspect.tubes else None
