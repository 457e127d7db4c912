"""First power and reforming: how the line was raised, what was read, and how leakage came down."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from ...record.figures import to_figures
from ...report.anchors import LinkedText
from ...report.typed import Typed
from ...words.decimal_sign import with_decimal_sign

EXPECTED, LOOK_AGAIN, NOT_MEASURED = "expected", "look again", "not measured"
"""Verdicts on a cold check. None of them clears a set for power."""

NAMEPLATE_OFF = 0.25
"""How far the watts may be off those of a nameplate, which rounds and counts losses. Common practice, no source."""
_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class ExpectedLine:
    """The line current to expect at a line voltage, and the band it may lie in: volts and amperes RMS."""

    line_volts: float
    line_amps_rms: float
    low_amps_rms: float
    high_amps_rms: float

    def verdict(self, read_amps: float | None, last_digit_amps: float = 0.0) -> str:
        """``within``, ``low`` or ``high`` of a current that was read; empty where none was.

        A reading is rounded to its last digit, and so half of one off.
        """
        if read_amps is None:
            return ""
        slack = last_digit_amps / 2 + 1e-9
        low, high = self.low_amps_rms - slack, self.high_amps_rms + slack
        return "low" if read_amps < low else "high" if read_amps > high else "within"


def in_per_cent(share: float) -> float:
    """A share of rated volts in two figures, but in whole per cent: 105.5 % is not 110 %, the edge of the band."""
    return to_figures(share, 3 if share >= 1 else 2)


@dataclass(frozen=True, slots=True)
class LinePoint:
    """The set at one line voltage: the heaters' amperes, the watts it takes, and the first rail's volts.

    ``heaters_of_rated`` is the share of its rated volts that the coolest heater has.

    ``b_plus_volts`` is None where the cathodes may be too cool to carry their current.
    """

    line: ExpectedLine
    heater_amps: float
    watts: float
    b_plus_volts: float | None
    heaters_of_rated: float


@dataclass(frozen=True, slots=True)
class LineCurve:
    """What is to be expected as the line is raised, lowest line first; ``lacks`` says in half sentences why nothing is.

    ``closing`` holds lines of a record that would close it. ``rests_on`` and ``assumed`` say what it was made
    from; ``wound`` that a transformer stands between. ``refused`` says why a line has no point though nothing lacks.
    """

    points: tuple[LinePoint, ...] = ()
    nominal_volts: float | None = None
    rests_on: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    closing: tuple[str, ...] = ()
    wound: bool = False
    refused: str = field(default="", metadata=_PAGE_ONLY)

    @property
    def nominal(self) -> LinePoint | None:
        """The set at its nominal line."""
        return self.at(self.nominal_volts)

    def at(self, line_volts: float | None) -> LinePoint | None:
        """The point that was worked out for a line voltage; None where there is none."""
        if line_volts is None:
            return None
        return next((p for p in self.points if abs(p.line.line_volts - line_volts) < 1e-6), None)

    def share_at(self, volts: float | None) -> float | None:
        """The coolest heater's share of its rated volts at any line within the curve, in straight lines."""
        if volts is None or not self.points:
            return None
        for one, other in pairwise(self.points):
            low, high = one.line.line_volts, other.line.line_volts
            if low <= volts <= high and high > low:
                rise = (other.heaters_of_rated - one.heaters_of_rated) / (high - low)
                return in_per_cent(one.heaters_of_rated + rise * (volts - low))
        return None


@dataclass(frozen=True, slots=True)
class LampInSeries:
    """A lamp between line and set, or ``count`` alike side by side: watts and volts of one, None where not written.

    ``short_amps`` is what it lets through at the nominal line where the set is a dead short.
    """

    watts: float | None
    volts: float
    count: int
    short_amps: float | None


@dataclass(frozen=True, slots=True)
class ColdCheck:
    """One reading of an ohmmeter before power, or one that was not taken: ``of`` is what it lies at.

    ``bands_ohms`` are where it should lie, the upper end None where nothing joins the two places; empty where nothing
    can be expected. ``rests_on`` is ``parts``, ``rule`` (common practice) or empty. ``read_ohms`` is None where it was
    not read, or open (``read_bound``). ``at_volts`` is that of an insulation tester. ``said`` has the bands in words,
    ``as_in_a_record`` names what was not read so that a record reads it there. ``replaced`` are the parts and tubes on
    its way that are not in the set any more: then what is to be looked at again is a matter of the past.
    """

    of: str
    verdict: str
    bands_ohms: tuple[tuple[float, float | None], ...]
    rests_on: str
    read_ohms: float | None = None
    read_bound: str = ""
    at_volts: float | None = None
    date: str = ""
    note: str = ""
    look_for: str = ""
    said: str = field(default="", metadata=_PAGE_ONLY)
    as_in_a_record: str = field(default="", metadata=_PAGE_ONLY)
    replaced: tuple[str, ...] = field(default=(), metadata=_PAGE_ONLY)
    read: Typed | None = field(default=None, metadata=_PAGE_ONLY)

    @property
    def open(self) -> bool:
        """Whether it is to be looked at again now."""
        return self.verdict == LOOK_AGAIN and not self.replaced


@dataclass(frozen=True, slots=True)
class RaisedStep:
    """One step: line volts, line current, how long it ran, and what else was read.

    ``verdict`` is that on the current: ``within`` what is to be expected, ``low`` or ``high``; empty without either.
    ``set_volts`` is what a lamp in series should leave for the set, ``heaters_of_rated`` the share of its rated volts
    that the coolest heater has.
    """

    line_volts: float | None
    line_amps: float | None
    after_seconds: float | None
    read: str
    note: str
    verdict: str = ""
    set_volts: float | None = None
    heaters_of_rated: float | None = None
    clock: str = ""
    line: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    amps: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    expected: ExpectedLine | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Warmth:
    """What was read of the heat of something: kelvins, and how far above the room's where that was read."""

    of: str
    kelvins: float
    above_room_kelvins: float | None

    @property
    def rise(self) -> str:
        """How far above the room, as the page says it: a difference, which no zero of a scale belongs to."""
        return f"{with_decimal_sign(f'{self.above_room_kelvins:g}')}\u202fK"


@dataclass(frozen=True, slots=True)
class SoakTest:
    """How long the set ran, its line and current at the end with the verdict on it, and how warm it was."""

    seconds: float | None
    line_volts: float | None
    line_amps: float | None
    verdict: str
    warmth: tuple[Warmth, ...]
    read: str
    note: str
    expected: ExpectedLine | None = None
    time: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    line: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    amps: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class RaisedLine:
    """One session on a raised line. ``limits`` says what each thing before the set does and does not do, ``doubts``
    what of the session does not go with the rest of the record."""

    date: str
    using: str
    steps: tuple[RaisedStep, ...]
    highest_line_volts: float | None
    note: str
    lamp: LampInSeries | None = None
    soak: SoakTest | None = None
    doubts: tuple[str, ...] = ()
    limits: tuple[str, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ReformingStep:
    """One reading while a capacitor was reformed."""

    after_seconds: float | None
    amps: float | None
    at_volts: float | None
    note: str
    after: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    current: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    at: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class ReformedPart:
    """The reforming of one capacitor. ``of_first`` is its last current as a ratio of its first."""

    part: str
    to: str
    date: str
    steps: tuple[ReformingStep, ...]
    of_first: float | None
    note: str
    doubts: tuple[str, ...] = ()
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class PowerUpFindings:
    """Sections ``before power``, ``power-up`` and ``reforming``.

    ``live`` is what counts as connected to the line: ``chassis``, ``B-`` or ``""``. ``in_string`` says that heaters
    hang in a series string. ``expected`` has an entry for each
    step whose line current could be worked out; ``watts`` are those the set takes at the nominal line, and
    ``volt_amperes`` the product of what was read last within 15 % of it.
    """

    sessions: tuple[RaisedLine, ...]
    reforming: tuple[ReformedPart, ...]
    hangs_on_line: bool
    expected: tuple[ExpectedLine, ...] = ()
    watts: float | None = None
    nameplate_watts: float | None = None
    before_power: tuple[ColdCheck, ...] = ()
    volt_amperes: float | None = None
    curve: LineCurve | None = field(default=None, metadata=_PAGE_ONLY)
    in_string: bool = field(default=False, metadata=_PAGE_ONLY)
    live: str = field(default="", metadata=_PAGE_ONLY)

    @property
    def beyond_nameplate(self) -> bool:
        """Whether watts and nameplate are more than ``NAMEPLATE_OFF`` apart."""
        watts, plate = self.watts, self.nameplate_watts
        return bool(watts and plate) and abs((watts or 0.0) / (plate or 1.0) - 1) > NAMEPLATE_OFF

    @property
    def watts_over_read(self) -> bool:
        """Whether more watts are computed than the volt-amperes that were read, by what is said of both."""
        return bool(self.watts and self.volt_amperes) and (self.watts or 0.0) >= 1.01 * (self.volt_amperes or 0.0)

    @property
    def volt_amperes_said(self) -> str:
        """The volt-amperes as the page says them."""
        return with_decimal_sign(f"{self.volt_amperes:.2g}")

    @property
    def times_raised(self) -> int:
        """How many sessions have steps."""
        return sum(bool(session.steps) for session in self.sessions)

    @property
    def last_raised(self) -> RaisedLine | None:
        """The last session with steps; where none has any, the last of all."""
        stepped = [session for session in self.sessions if session.steps]
        return next(reversed(stepped or self.sessions), None)
