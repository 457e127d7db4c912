"""What the way of the signal is made of: stages in rows."""

from __future__ import annotations

from dataclasses import dataclass

RADIO, AUDIO, SUPPLY, HEATERS, OTHER = "radio", "audio", "supply", "heaters", "other"
AM_RADIO, FM_RADIO = "AM radio", "FM radio"
OF_RADIO = (RADIO, AM_RADIO, FM_RADIO)
UNKNOWN, UNTOLD, MAY_BE_UNKNOWN = "unknown job", "untold", "untold beside unknown"
"""A tube whose words name no known job; a stage that there must be and of which nothing is written; and one that such
a tube may do."""


@dataclass(frozen=True, slots=True)
class PathTube:
    """A tube in a stage: its position, its type as written, and the section that does the work where it is known.

    ``section_known`` is false for a bulb of several sections of which the record does not say which it is.
    """

    position: str
    type: str
    section: str = ""
    section_known: bool = True


@dataclass(frozen=True, slots=True)
class PathStage:
    """One stage. ``key`` is the job it does, or what it is where no tube does it (``aerial``, ``heater string``).

    ``parts`` are those of the parts list that do the work; of a heater string the positions in their order, of a
    pilot lamp its type. ``hands_on`` is what it gives to the next: ``RF``, ``IF``,
    ``AF``, or nothing. ``number`` tells a first from a second of its kind, 0 where it is the only one. ``written`` are
    the record's own words where they name no job; ``by_type`` says that none are written. ``again`` marks a stage whose
    tube has worked on the signal once before.
    """

    key: str
    tubes: tuple[PathTube, ...] = ()
    parts: tuple[str, ...] = ()
    number: int = 0
    hands_on: str = ""
    written: str = ""
    by_type: bool = False
    again: bool = False


@dataclass(frozen=True, slots=True)
class Lane:
    """One row of stages, each handing on to the next. ``beside`` are those that work on one of them, by its index.

    ``kind`` is ``radio``, or ``AM radio`` and ``FM radio`` in a set for both; ``audio``, ``supply``, ``heaters``, or
    ``other``, whose stages have no known place.
    """

    kind: str
    stages: tuple[PathStage, ...]
    beside: tuple[tuple[int, PathStage], ...] = ()

    def all_stages(self) -> tuple[PathStage, ...]:
        """Every stage in the order of reading: each with those beside it."""
        found = []
        for n, stage in enumerate(self.stages):
            found.append(stage)
            found += [other for at, other in self.beside if at == n]
        return tuple(found)


@dataclass(frozen=True, slots=True)
class SignalPath:
    """A set as rows of stages. ``kind`` is ``superheterodyne``, ``TRF``, ``regenerative`` or empty where not told.

    ``told`` says whether any tube's job is written in words that are known.
    """

    lanes: tuple[Lane, ...]
    kind: str = ""
    reflex: bool = False
    told: bool = False

    def lane(self, kind: str) -> Lane | None:
        """The row of a kind; None where the set has none."""
        return next((lane for lane in self.lanes if lane.kind == kind), None)

    @property
    def of_signal(self) -> tuple[Lane, ...]:
        """The rows that the signal passes."""
        return tuple(lane for lane in self.lanes if lane.kind in (*OF_RADIO, AUDIO))

    @property
    def fm(self) -> bool:
        """Whether a row is for FM."""
        return self.lane(FM_RADIO) is not None
