"""Results: what was measured before and after the work, how far it moved, and what the set itself allows."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...circuit.output_stage import OutputStage
from ...report.typed import Typed

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class ComparedResult:
    """One result. ``before``, ``after`` and ``sheet`` are in ``unit``; ``ratio`` is after over before.

    ``direction`` is ``higher``, ``lower`` or ``unchanged``, empty where it cannot be known; ``better`` is None where
    nothing says which way is better. ``subject`` is what it is about, empty where its name does not say.
    ``load_ohms`` is what it was measured into.
    """

    name: str
    before: float | None
    after: float | None
    sheet: float | None
    unit: str
    ratio: float | None
    change_db: float | None
    direction: str
    better: bool | None
    for_: str
    note: str
    subject: str = ""
    load_ohms: float | None = None
    at: str = ""
    standard: str = ""
    before_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    after_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    sheet_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)
    load_typed: Typed | None = field(default=None, metadata=_PAGE_ONLY)

    @property
    def is_words(self) -> bool:
        """Whether it is a note and no value, such as how the set sounds."""
        return not (self.before_typed or self.after_typed or self.sheet_typed)


@dataclass(frozen=True, slots=True)
class MeasuredCurve:
    """A result point by point. ``points`` and ``before`` are in SI, or decibels; ``at_unit`` and ``unit`` are theirs.

    ``low_hertz`` and ``high_hertz`` are where a frequency response is 3 dB below ``reference_hertz``; ``hold_db`` how
    far the signal may fall from the strongest one until AVC lets the output fall by 10 dB, at least that far where
    ``hold_is_least``; ``ten_percent_watts`` the power at 10 % of distortion; ``width_hertz`` the width at -6 dB. Each
    is None where it does not apply or cannot be found. ``only_before`` says that it was not read after the work.
    """

    name: str
    subject: str
    at_unit: str
    unit: str
    points: tuple[tuple[float, float], ...]
    before: tuple[tuple[float, float], ...] = ()
    reference_hertz: float | None = None
    low_hertz: float | None = None
    high_hertz: float | None = None
    hold_db: float | None = None
    hold_is_least: bool = False
    output_change_db: float | None = None
    ten_percent_watts: float | None = None
    width_hertz: float | None = None
    note: str = ""
    only_before: bool = False
    number: int = field(default=1, metadata=_PAGE_ONLY)
    conditions: str = field(default="", metadata=_PAGE_ONLY)
    levels: tuple[tuple[Typed, Typed], ...] = field(default=(), metadata=_PAGE_ONLY)
    levels_before: tuple[tuple[Typed, Typed], ...] = field(default=(), metadata=_PAGE_ONLY)

    @property
    def figure(self) -> str:
        """The name of its figure, which holds no word of the writer's."""
        return f"results-{self.number}"


@dataclass(frozen=True, slots=True)
class BesideTheSet:
    """A result beside what is worked out of the set.

    ``what`` is ``limit`` (watts, of the output stage), ``image`` (decibels of one tuned circuit), ``hum`` (decibels
    below the output power, where ``measured`` is None), ``draws`` or ``nameplate`` (watts from the line). ``measured``
    and ``worked_out`` are in ``unit``.
    """

    name: str
    what: str
    measured: float | None
    worked_out: float
    unit: str
    at_hertz: float | None = None


@dataclass(frozen=True, slots=True)
class ResultsFindings:
    """Section ``results``."""

    results: tuple[ComparedResult, ...]
    compared: int
    curves: tuple[MeasuredCurve, ...] = ()
    beside: tuple[BesideTheSet, ...] = ()
    output_stage: OutputStage | None = None
