"""Faults: the trail from complaint to cure, with the parts and tubes it names found in the record."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ...report.anchors import LinkedText, day_anchor

_PAGE_ONLY: dict[str, Any] = {"json": False}


@dataclass(frozen=True, slots=True)
class TrailStep:
    """One step of a trail; ``linked`` is its text with the names that can be linked."""

    name: str
    text: str
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class TrailEvidence:
    """What was measured of a part or tube that the cause names, while it was still in the set.

    ``what`` is ``leakage`` (amperes, at ``at_volts``), ``ESR`` (ohms), ``emission`` (a ratio), ``measured`` (in
    ``unit``) or ``condition``, which has ``word`` (``open``, ``shorted``) in place of a value.
    """

    name: str
    what: str
    value: float | None = None
    unit: str = ""
    at_volts: float | None = None
    word: str = ""


@dataclass(frozen=True, slots=True)
class TrailReading:
    """What a place that the trail names read in one list; ``anchor`` is that list's id."""

    place: str
    run: str
    volts: float
    anchor: str = field(default="", metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class RuledOut:
    """What was suspected and turned out not to be the cause; ``parts`` are the parts and tubes that it names."""

    text: str
    parts: tuple[str, ...]
    linked: tuple[LinkedText, ...] = field(default=(), metadata=_PAGE_ONLY)


@dataclass(frozen=True, slots=True)
class Trail:
    """One fault. ``parts`` are the parts its text names; ``cured`` says whether a cure was written.

    ``readings`` are those of the places it names, before and after the cure alike.
    ``on_its_day`` says that the log tells date and cure at their day. ``read`` are the values in its text that the
    record has as readings too.
    """

    steps: tuple[TrailStep, ...]
    parts: tuple[str, ...]
    cured: bool
    date: str
    note: str
    ruled_out: tuple[RuledOut, ...] = ()
    readings: tuple[TrailReading, ...] = ()
    evidence: tuple[TrailEvidence, ...] = field(default=(), metadata=_PAGE_ONLY)
    on_its_day: bool = field(default=False, metadata=_PAGE_ONLY)
    read: tuple[tuple[float, str], ...] = field(default=(), metadata=_PAGE_ONLY)

    @property
    def day(self) -> str:
        """The id of its day among the days of the work."""
        return day_anchor(self.date)

    def step(self, name: str) -> TrailStep | None:
        """One of its steps by name; None where it was not written."""
        return next((step for step in self.steps if step.name == name), None)


@dataclass(frozen=True, slots=True)
class FaultsFindings:
    """All faults in the order written."""

    trails: tuple[Trail, ...]
    open: int
