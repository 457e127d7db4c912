"""What follows from the heaters as written: sums, droppers, the string as it runs, windings and their loads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ...circuit.dead_string import OpenDropper
from .ballast import CodedBallast
from .cases import (
    DiodeRectifier,
    LampCase,
    ShortedHeater,
    WantedShunt,
)
from .choices import Choice, WantedDropper
from .feeding import Feed
from .measured import MeasuredHeaters
from .portable import Drain, FilamentRun
from .rated import RatedLamp, Rating
from .running import RunningLine
from .selector import Selected
from .string import HeaterString
from .switching import SwitchOn
from .taps import MainsTap
from .verdicts import JudgedHeater
from .windings import HeaterWinding, WantedWinding


@dataclass(frozen=True, slots=True)
class SweepPoint:
    """The lowest and the highest share of rated volts among the tubes, at one line voltage."""

    line_volts: float
    lowest: float
    highest: float


@dataclass(frozen=True)
class HeatersFindings:
    """Everything computed about the heater supply; see the field names for units."""

    arrangement: str
    rated_sum_volts: float | None
    rated_current_amps: float | None
    left_for_dropper_volts: float | None
    dropper: WantedDropper | None
    running: tuple[RunningLine, ...]
    line_volts: float | None = None
    feed: Feed = field(default_factory=Feed)
    line_limits_assumed: bool = False
    judged: Mapping[str, JudgedHeater] = field(default_factory=dict)
    mixed: tuple[str, ...] = ()
    fitted_of_rating: float | None = None
    heat_watts: float | None = None
    windings: tuple[HeaterWinding, ...] = ()
    wanted: tuple[WantedWinding, ...] = ()
    measured: MeasuredHeaters | None = None
    choices: tuple[Choice, ...] = ()
    lamp_cases: tuple[LampCase, ...] = ()
    shorted: tuple[ShortedHeater, ...] = ()
    wanted_shunts: tuple[WantedShunt, ...] = ()
    mains_taps: tuple[MainsTap, ...] = ()
    diode_rectifier: DiodeRectifier | None = None
    switch_on: SwitchOn | None = None
    filaments: tuple[FilamentRun, ...] = ()
    drains: tuple[Drain, ...] = ()
    primary_volts: float | None = None
    second: HeatersFindings | None = None
    ballast: CodedBallast | None = None
    selected: Selected | None = None
    open_dropper: OpenDropper | None = None
    tap_limits: tuple[tuple[str, float], ...] = field(default=(), metadata={"json": False})
    missing: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    string: HeaterString | None = field(default=None, metadata={"json": False})
    ratings: tuple[Rating, ...] = field(default=(), metadata={"json": False})
    lamp: RatedLamp | None = field(default=None, metadata={"json": False})
    sweep: tuple[SweepPoint, ...] = field(default=(), metadata={"json": False})
    on_battery: RunningLine | None = field(default=None, metadata={"json": False})
    before_rectifier: RunningLine | None = field(default=None, metadata={"json": False})
    current: str = field(default="AC", metadata={"json": False})
    note: str = field(default="", metadata={"json": False})

    @property
    def on_line(self) -> RunningLine | None:
        """The heaters at the nominal line."""
        return next((line for line in self.running if "nominal" in line.which), None)

    @property
    def nominal(self) -> RunningLine | None:
        """The heaters at the nominal line; where that cannot be known, on their battery."""
        return self.on_line or self.on_battery

    @property
    def shares(self) -> tuple[float, ...]:
        """The shares of rated volts the tubes are judged by at the nominal line, lowest first.

        Of a battery filament whose cathode currents are not known both ends of what it may have.
        """
        each = ((j.low_of_rated, j.high_of_rated) if self.is_unsure(j) else (j.of_rated,) for j in self.judged.values())
        return tuple(sorted(share for ends in each for share in ends if share is not None))

    @staticmethod
    def is_unsure(judged: JudgedHeater) -> bool:
        """Whether what a filament has rests on cathode currents that are not known."""
        return judged.low_of_rated is not None and judged.high_of_rated is not None

    @property
    def rests_on(self) -> str:
        """Whether the shares are those of ``readings``, or rest on ``cathode currents``; empty where neither."""
        if any(self.is_unsure(j) for j in self.judged.values()):
            return "cathode currents"
        return "readings" if any(j.by_reading for j in self.judged.values()) else ""

    @property
    def outside(self) -> tuple[str, ...]:
        """The tubes outside their band at the nominal line."""
        return tuple(tube for tube, j in self.judged.items() if j.verdict in ("low", "high"))

    @property
    def asbestos(self) -> bool:
        """Whether a part is written that was made with asbestos."""
        fitted = self.string.dropper if self.string else None
        return fitted is not None and fitted.kind in ("resistance cord", "ballast")
