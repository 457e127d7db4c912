"""How the set works: its stages in order, each with what it is given, what was read there and what was worked out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

_PAGE: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class BulbAtWork:
    """A tube in a stage: where it sits, its type as written, and the section that does the work where it is known."""

    tube: str
    type: str
    section: str


@dataclass(frozen=True, slots=True)
class StageReading:
    """The newest reading at one place of a stage. ``verdict`` is that of the voltages; ``written`` is as typed."""

    place: str
    volts: float | None
    current: str
    verdict: str
    run: str
    written: str = field(default="", metadata=_PAGE)


@dataclass(frozen=True, slots=True)
class StageFigures:
    """What is worked out of a stage elsewhere, as it stands there; None where it cannot be known.

    ``gain_times`` is how many times it amplifies a small signal, ``over_rating`` whether its plate turns more into heat
    than ``max_plate_watts``.
    """

    stage: str
    cathode_amps: float | None = None
    plate_amps: float | None = None
    plate_watts: float | None = None
    max_plate_watts: float | None = None
    over_rating: bool | None = None
    gain_times: float | None = None


@dataclass(frozen=True, slots=True)
class StageTrouble:
    """A fault of this set that was in the stage: what was complained of, what caused it, and whether it is cured."""

    complaint: str
    cause: str
    cured: bool


@dataclass(frozen=True, slots=True)
class StageInOrder:
    """One stage. ``job`` is what it does, ``number`` its place in the order of reading, from 1.

    ``takes_from`` and ``gives_to`` are the numbers of the stages before and behind it, ``works_on`` that of the one it
    stands beside. ``hands_on`` is ``RF``, ``IF``, ``AF``, ``oscillator`` or empty, ``hands_on_hertz`` the frequency
    where there is only one. ``which`` tells a first from a second of its kind, 0 where it is alone. ``written`` are the
    record's own words where they name no known job; ``by_type`` says that the job follows from the type alone;
    ``again`` that its tube works on the signal a second time.
    """

    number: int
    job: str
    which: int
    tubes: tuple[BulbAtWork, ...]
    parts: tuple[str, ...]
    takes_from: tuple[int, ...]
    gives_to: tuple[int, ...]
    works_on: int | None
    hands_on: str
    hands_on_hertz: float | None
    written: str
    by_type: bool
    again: bool
    readings: tuple[StageReading, ...]
    worked_out: tuple[StageFigures, ...]
    faults: tuple[StageTrouble, ...]
    read_with: int | None = field(default=None, metadata=_PAGE)

    @property
    def anchor(self) -> str:
        """The id of its heading."""
        return f"how-it-works-{self.number}"


@dataclass(frozen=True, slots=True)
class RowOfStages:
    """Stages that hand on from one to the next: ``row`` is ``radio``, ``AM radio``, ``FM radio``, ``audio``,
    ``supply``, ``heaters`` or ``other``."""

    row: str
    stages: tuple[StageInOrder, ...]


@dataclass(frozen=True, slots=True)
class BandOfSet:
    """A band with its limits in hertz and where the local oscillator runs for them; None where it is not known.

    Of FM that is not said: some sets have the oscillator above the station, others below.
    """

    band: str
    low_hertz: float
    high_hertz: float
    oscillator_hertz: tuple[float, float] | None
    fm: bool
    written: str = field(default="", metadata=_PAGE)


@dataclass(frozen=True, slots=True)
class HowItWorksFindings:
    """The set as rows of stages. ``kind`` is ``superheterodyne``, ``TRF``, ``regenerative`` or empty.

    ``faults_elsewhere`` counts the faults of the record that belong to no one stage.
    """

    kind: str
    reflex: bool
    rows: tuple[RowOfStages, ...]
    bands: tuple[BandOfSet, ...]
    faults_elsewhere: int
    has_voltages: bool = field(default=False, metadata=_PAGE)
    has_line_side: bool = field(default=False, metadata=_PAGE)
    has_faults: bool = field(default=False, metadata=_PAGE)

    def stages(self) -> tuple[StageInOrder, ...]:
        """Every stage in the order of reading."""
        return tuple(stage for row in self.rows for stage in row.stages)

    def stage(self, number: int | None) -> StageInOrder | None:
        """The stage of a number; None for none."""
        return next((stage for stage in self.stages() if stage.number == number), None)

    @property
    def both(self) -> bool:
        """Whether it is for AM and FM."""
        return {"AM radio", "FM radio"} <= {row.row for row in self.rows}
