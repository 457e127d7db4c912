"""First power and reforming: how the line was raised, what was read, and how leakage came down."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.anchors import LinkedText
from ...report.typed import Typed

EXPECTED, LOOK_AGAIN, NOT_MEASURED = "expected", "look again", "not measured"
"""Verdicts on a cold check. None of them clears a set for power."""

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

        A meter may be off by one in its last digit, as its sheet says beside its per cents.
        """
        if read_amps is None:
            return ""
        slack = last_digit_amps + 1e-9
        low, high = self.low_amps_rms - slack, self.high_amps_rms + slack
        return "low" if read_amps < low else "high" if read_amps > high else "within"


@dataclass(frozen=True, slots=True)
class LinePoint:
    """The set at one line voltage: the heaters' amperes, the watts it takes, and the first rail's volts.

    ``b_plus_volts`` is None where the cathodes may be too cool to carry their current.
    """

    line: ExpectedLine
    heater_amps: float
    watts: float
    b_plus_volts: float | None


@dataclass(frozen=True, slots=True)
class LineCurve:
    """What is to be expected as the line is raised, lowest line first; ``lacks`` says in half sentences why nothing is.

    ``closing`` holds lines of a record that would close it. ``rests_on`` and ``assumed`` say what it was made
    from; ``wound`` that a transformer stands between.
    """

    points: tuple[LinePoint, ...] = ()
    nominal_volts: float | None = None
    rests_on: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    closing: tuple[str, ...] = ()
    wound: bool = False

    @property
    def nominal(self) -> LinePoint | None:
        """The set at its nominal line."""
        return self.at(self.nominal_volts)

    def at(self, line_volts: float | None) -> LinePoint | None:
        """The point that was worked out for a line voltage; None where there is none."""
        if line_volts is None:
            return None
        return next((p for p in self.points if abs(p.line.line_volts - line_volts) < 1e-6), None)


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
    not read, or open (``read_bound``). ``at_volts`` is that of an insulation tester. ``said`` has the bands in words.
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
    read: Typed | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class RaisedStep:
    """One step: line volts, line current, how long it ran, and what else was read.

    ``verdict`` is that on the current: ``within`` what is to be expected, ``low`` or ``high``; empty without either.
    ``set_volts`` is what a lamp in series should leave for the set.
    """

    line_volts: float | None
    line_amps: float | None
    after_seconds: float | None
    read: str
    note: str
    verdict: str = ""
    set_volts: float | None = None
    line: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    amps: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    expected: ExpectedLine | None = field(default=None, metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class RaisedLine:
    """One session on a raised line."""

    date: str
    using: str
    steps: tuple[RaisedStep, ...]
    highest_line_volts: float | None
    note: str
    lamp: LampInSeries | None = None


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
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class PowerUpFindings:
    """Sections ``before power``, ``power-up`` and ``reforming``.

    ``live`` is what counts as connected to the line: ``chassis``, ``B-`` or ``""``. ``in_string`` says that heaters
    hang in a series string. ``expected`` has an entry for each
    step whose line current could be worked out; ``watts`` are those the set takes at the nominal line.
    """

    sessions: tuple[RaisedLine, ...]
    reforming: tuple[ReformedPart, ...]
    hangs_on_line: bool
    expected: tuple[ExpectedLine, ...] = ()
    watts: float | None = None
    nameplate_watts: float | None = None
    before_power: tuple[ColdCheck, ...] = ()
    curve: LineCurve | None = field(default=None, metadata=_PAGE_ONLY)
    in_string: bool = field(default=False, metadata=_PAGE_ONLY)
    live: str = field(default="", metadata=_PAGE_ONLY)
